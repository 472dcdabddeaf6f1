import { scoreIntervalOfShare } from '../../../stats/proportions/score-interval-of-share.ts';
import { levelText, orNone, percent, percentRange, pointRange, signedPoints } from '../../../words/numbers.ts';
import type { Findings } from '../../findings.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { IntervalMark, MarksPicture } from '../../series-picture.ts';
import { correctionBasis, type BasisCheckpoint } from './basis.ts';
import { OTHER_CLASSES } from './tables.ts';

const AS_READ = 'as observers called them';
const CORRECTED = 'allowing for what they misread';

/** An axis of round ends, with room for the figure that is written beside each mark. */
function roomAbout(marks: readonly IntervalMark[], least: number, most: number): { min: number; max: number } {
  const low = Math.min(...marks.map((mark) => mark.low ?? mark.value));
  const high = Math.max(...marks.map((mark) => mark.high ?? mark.value));
  const room = Math.max(high - low, 0.01) / 4;
  // Whole percents where the marks lie close, tens where they do not.
  const steps = 1 / ([0.01, 0.02, 0.05, 0.1].find((step) => high - low + 2 * room <= 8 * step) ?? 0.1);
  return {
    min: Math.max(least, Math.floor((low - room) * steps) / steps),
    max: Math.min(most, Math.ceil((high + room) * steps) / steps),
  };
}

/** Rearfoot shares as read, hollow, and corrected, filled, at the checkpoints in focus; `null` without a corrected one. */
export function correctedSharesPicture(
  findings: Findings,
  level: number,
  focus: readonly string[],
): MarksPicture | null {
  const rows = (correctionBasis(findings.corrected)?.checkpoints ?? []).filter(
    ({ checkpoint, classes }) => focus.includes(checkpoint) && classes.rearfoot.share !== null,
  );
  if (rows.length === 0) return null;
  const name = ({ checkpoint }: BasisCheckpoint): string => place(findings, checkpoint);
  const read = rows.map((row): IntervalMark => {
    const value = Math.min(1, row.classes.rearfoot.observed ?? 0);
    return { value, ...scoreIntervalOfShare(value, row.runners, level) };
  });
  const corrected = rows.map(({ classes }): IntervalMark => {
    const { share, low, high } = classes.rearfoot;
    return { value: share ?? 0, low, high };
  });
  return {
    kind: 'marks',
    style: 'point',
    unit: 'share',
    axisTitle: 'rearfoot share of the runners',
    id: 'corrected-shares',
    title: `Rearfoot share as called and corrected, ${levelText(level)} intervals`,
    label: `Points with intervals. ${rows.map((row, i) => `${name(row)}: called ${percent(read[i]!.value)}, corrected ${percent(corrected[i]!.value)}`).join('; ')}.`,
    rows: rows.map(name),
    ...roomAbout([...read, ...corrected], 0, 1),
    groups: [
      { name: AS_READ, tone: 'rearfoot', hollow: true, marks: read },
      { name: CORRECTED, tone: 'rearfoot', marks: corrected },
    ],
    table: {
      caption: `Rearfoot share as called live and corrected, ${levelText(level)} intervals`,
      columns: ['Checkpoint', 'Runners', 'As called', 'Interval', 'Corrected', 'Interval'],
      rows: rows.map((row, i) => [
        name(row),
        String(row.runners),
        percent(read[i]!.value),
        orNone(percentRange(read[i]!.low, read[i]!.high)),
        percent(corrected[i]!.value),
        orNone(percentRange(corrected[i]!.low, corrected[i]!.high)),
      ]),
    },
  };
}

/** Midfoot, forefoot and asymmetric as read, hollow, and corrected, filled, at the checkpoints in focus. */
export function correctedOthersPicture(
  findings: Findings,
  level: number,
  focus: readonly string[],
): MarksPicture | null {
  const rows = (correctionBasis(findings.corrected)?.checkpoints ?? [])
    .filter(({ checkpoint }) => focus.includes(checkpoint))
    .flatMap((at) =>
      OTHER_CLASSES.flatMap((name) => {
        const { observed, share, low, high } = at.classes[name];
        if (share === null) return [];
        const value = Math.min(1, observed ?? 0);
        const read: IntervalMark = { value, ...scoreIntervalOfShare(value, at.runners, level) };
        return [
          { name: `${name}, ${at.checkpoint}`, runners: at.runners, read, corrected: { value: share, low, high } },
        ];
      }),
    );
  if (rows.length === 0) return null;
  return {
    kind: 'marks',
    style: 'point',
    unit: 'share',
    axisTitle: 'share of the runners',
    id: 'corrected-others',
    title: `The other classes as called and corrected, ${levelText(level)} intervals`,
    label: `Points with intervals. ${rows.map(({ name, read, corrected }) => `${name}: called ${percent(read.value)}, corrected ${percent(corrected.value)}`).join('; ')}.`,
    rows: rows.map(({ name }) => name),
    ...roomAbout(
      rows.flatMap(({ read, corrected }) => [read, corrected]),
      0,
      1,
    ),
    groups: [
      { name: AS_READ, tone: 'midfoot', hollow: true, marks: rows.map(({ read }) => read) },
      { name: CORRECTED, tone: 'midfoot', marks: rows.map(({ corrected }) => corrected) },
    ],
    table: {
      caption: `The other classes as called live and corrected, ${levelText(level)} intervals`,
      columns: ['Class', 'Runners', 'As called', 'Interval', 'Corrected', 'Interval'],
      rows: rows.map(({ name, runners, read, corrected }) => [
        name,
        String(runners),
        percent(read.value),
        orNone(percentRange(read.low, read.high)),
        percent(corrected.value),
        orNone(percentRange(corrected.low, corrected.high)),
      ]),
    },
  };
}

/** The change of the rearfoot share as read, hollow, and corrected, filled; `null` without a corrected one. */
export function correctedShiftPicture(findings: Findings, level: number): MarksPicture | null {
  const basis = correctionBasis(findings.corrected);
  const difference = basis?.difference;
  if (!difference || difference.corrected.difference === null || difference.observed.difference === null) return null;
  const ofValidation = findings.corrected?.validation?.difference?.observed;
  const read: IntervalMark = {
    value: difference.observed.difference,
    low: ofValidation?.low ?? null,
    high: ofValidation?.high ?? null,
  };
  const { difference: value, low, high } = difference.corrected;
  const corrected: IntervalMark = { value, low, high };
  const row = (name: string, mark: IntervalMark): string[] => [
    name,
    signedPoints(mark.value),
    orNone(pointRange(mark.low, mark.high)),
  ];
  return {
    kind: 'marks',
    style: 'point',
    unit: 'points',
    axisTitle: 'change of the rearfoot share, points',
    id: 'corrected-shift',
    title: `Change as called and corrected, ${levelText(level)} intervals`,
    label: `Points with intervals: called ${signedPoints(read.value)} points, corrected ${signedPoints(corrected.value)} points.`,
    rows: [`${difference.paired} runners at both`],
    groups: [
      { name: AS_READ, tone: 'rearfoot', hollow: true, marks: [read] },
      { name: CORRECTED, tone: 'rearfoot', marks: [corrected] },
    ],
    reference: 0,
    ...roomAbout([read, corrected, { value: 0, low: null, high: null }], -1, 1),
    table: {
      caption: `Change of the rearfoot share, late less early, points, ${levelText(level)} intervals`,
      columns: ['Reading', 'Change', 'Interval'],
      rows: [row(AS_READ, read), row(CORRECTED, corrected)],
    },
  };
}
