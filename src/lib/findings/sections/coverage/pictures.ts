import type { Findings } from '../../findings.ts';
import { count, levelText, orNone, percent, percentRange, signedPoints } from '../../../words/numbers.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { MarksPicture, Tone } from '../../series-picture.ts';

const QUARTERS = ['Fastest quarter', 'Second quarter', 'Third quarter', 'Slowest quarter'] as const;
const TONES: readonly Tone[] = ['first', 'second', 'third', 'fourth'];

/** Share of the finishers classified, by quarter of all finish times, at the checkpoints in `focus`. */
export function coverageQuartersPicture(findings: Findings, focus: readonly string[]): MarksPicture | null {
  const coverage = findings.coverage;
  if (!coverage || coverage.finishers === 0) return null;
  const shown = coverage.checkpoints.filter((entry) => focus.includes(entry.checkpoint));
  return {
    kind: 'marks',
    style: 'bar',
    unit: 'share',
    id: 'coverage-by-quarter',
    title: 'Finishers classified, by quarter of all finish times',
    label: `Bars. ${shown.map((entry) => `${place(findings, entry.checkpoint)}: ${entry.quarterShare.map((share, i) => `${QUARTERS[i]?.toLowerCase() ?? ''} ${percent(share)}`).join(', ')}`).join('; ')}.`,
    axisTitle: 'share of the quarter’s finishers',
    rows: QUARTERS,
    groups: shown.map((entry, i) => ({
      name: place(findings, entry.checkpoint),
      tone: TONES[i % TONES.length]!,
      marks: entry.quarterShare.map((value) => (value === null ? null : { value, low: null, high: null })),
    })),
    min: 0,
    max: 1,
    table: {
      caption: `Finishers classified at each checkpoint, all and by quarter of all ${count(coverage.finishers)} finish times`,
      columns: ['Checkpoint', 'Classified', 'Share', ...QUARTERS.flatMap((name) => [name, 'share'])],
      rows: coverage.checkpoints.map((entry) => [
        place(findings, entry.checkpoint),
        count(entry.sighted),
        percent(entry.share),
        ...entry.quarters.flatMap((n, i) => [count(n), percent(entry.quarterShare[i] ?? null)]),
      ]),
    },
  };
}

/** The rearfoot share as observed and weighted to the field, side by side. */
export function standardisedPicture(findings: Findings, level: number): MarksPicture | null {
  const coverage = findings.coverage;
  if (!coverage || coverage.finishers === 0) return null;
  const rows = coverage.checkpoints.map((entry) => ({
    name: place(findings, entry.checkpoint),
    observed: findings.shares.find((one) => one.checkpoint === entry.checkpoint)?.classes.rearfoot ?? null,
    weighted: entry.standardisedRearfoot,
  }));
  if (rows.every((row) => row.weighted === null)) return null;
  return {
    kind: 'marks',
    style: 'point',
    unit: 'share',
    id: 'rearfoot-weighted-to-the-field',
    title: `Rearfoot share as observed and weighted to the field, with ${levelText(level)} intervals`,
    label: `Points with intervals. ${rows.map((row) => `${row.name}: observed ${percent(row.observed?.share ?? null)}, weighted ${percent(row.weighted?.share ?? null)}`).join('; ')}.`,
    axisTitle: 'rearfoot share',
    rows: rows.map((row) => row.name),
    groups: [
      {
        name: 'as observed',
        tone: 'first',
        marks: rows.map(({ observed }) =>
          observed === null || observed.share === null
            ? null
            : { value: observed.share, low: observed.low, high: observed.high },
        ),
      },
      {
        name: 'weighted to the field',
        tone: 'second',
        marks: rows.map(({ weighted }) =>
          weighted === null ? null : { value: weighted.share, low: weighted.scoreLow, high: weighted.scoreHigh },
        ),
      },
    ],
    table: {
      caption: `Rearfoot share as observed (Wilson interval) and weighted by finish quarter to all finishers (from the quarters’ Wilson intervals), ${levelText(level)}`,
      columns: ['Checkpoint', 'Observed', 'interval', 'Weighted', 'interval', 'Difference, points'],
      rows: rows.map(({ name, observed, weighted }) => [
        name,
        percent(observed?.share ?? null),
        orNone(percentRange(observed?.low ?? null, observed?.high ?? null)),
        percent(weighted?.share ?? null),
        orNone(percentRange(weighted?.scoreLow ?? null, weighted?.scoreHigh ?? null)),
        weighted && observed?.share != null ? signedPoints(weighted.share - observed.share) : '–',
      ]),
    },
  };
}
