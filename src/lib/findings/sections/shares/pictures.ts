import { FOOT_CLASSES, RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Findings } from '../../findings.ts';
import type { CheckpointShares } from './figures.ts';
import { count, distance, levelText, orNone, percent, percentRange } from '../../../words/numbers.ts';
import type { CoursePicture, IntervalMark, MarksPicture, StackPicture, TableData } from '../../series-picture.ts';

const name = (entry: CheckpointShares): string => `${entry.checkpoint}, ${distance(entry.km)}`;

/** Shares of the four classes at each checkpoint, the interval on the rearfoot share. */
export function sharesPicture(findings: Findings, level: number): StackPicture {
  const entries = findings.shares.filter((entry) => entry.classified > 0);
  const says = entries.map((entry) => `${name(entry)}: ${classesInWords(entry)}`).join('; ');
  return {
    kind: 'stack',
    id: 'shares',
    title: 'Classes at each checkpoint',
    label: `Stacked bars of the classes at each checkpoint. ${says}.`,
    bars: entries.map((entry) => ({
      name: `${name(entry)} · ${count(entry.classified)} runners`,
      segments: RUNNER_CLASSES.map((tone) => ({ tone, label: tone, share: entry.classes[tone].share ?? 0 })),
      ...ends(entry),
    })),
    table: sharesTable(findings, level),
  };
}

function classesInWords(entry: CheckpointShares): string {
  return RUNNER_CLASSES.map((one) => `${one} ${percent(entry.classes[one].share)}`).join(', ');
}

function ends(entry: CheckpointShares): { whisker?: { low: number; high: number } } {
  const { low, high } = entry.classes.rearfoot;
  return low === null || high === null ? {} : { whisker: { low, high } };
}

function sharesTable(findings: Findings, level: number): TableData {
  return {
    caption: `Classes at each checkpoint: runners, share of the classified and its ${levelText(level)} interval (Wilson)`,
    columns: ['Checkpoint', 'Class', 'Runners', 'Share', 'Interval'],
    rows: findings.shares.flatMap((entry) => [
      ...RUNNER_CLASSES.map((one) => {
        const { count: n, share, low, high } = entry.classes[one];
        return [name(entry), one, count(n), percent(share), orNone(percentRange(low, high))];
      }),
      [name(entry), 'all classified', count(entry.classified), percent(entry.classified > 0 ? 1 : null), ''],
      [name(entry), 'walking', count(entry.walking), 'not counted', ''],
      [name(entry), 'disputed', count(entry.disputed), 'not counted', ''],
      [name(entry), 'a foot not seen', count(entry.unclassified), 'not counted', ''],
    ]),
  };
}

/** The classes that the stacked bars show too thin to read, each with its interval. */
export function rareClassesPicture(findings: Findings, level: number): MarksPicture {
  const entries = findings.shares.filter((entry) => entry.classified > 0);
  const classes = ['midfoot', 'forefoot', 'asymmetric'] as const;
  return {
    kind: 'marks',
    style: 'point',
    unit: 'share',
    axisTitle: 'share of the classified runners',
    id: 'rarer-classes',
    title: `The rarer classes with their ${levelText(level)} intervals`,
    label: `Points with intervals. ${entries.map((entry) => `${name(entry)}: ${classes.map((one) => `${one} ${percent(entry.classes[one].share)}`).join(', ')}`).join('; ')}.`,
    rows: entries.map(name),
    groups: classes.map((tone) => ({
      name: tone,
      tone,
      marks: entries.map((entry): IntervalMark | null => {
        const { share, low, high } = entry.classes[tone];
        return share === null ? null : { value: share, low, high };
      }),
    })),
    min: 0,
    table: {
      caption: `The rarer classes: share of the classified runners and its ${levelText(level)} interval (Wilson)`,
      columns: ['Checkpoint', ...classes.flatMap((one) => [one, 'interval'])],
      rows: entries.map((entry) => [
        name(entry),
        ...classes.flatMap((one) => {
          const { share, low, high } = entry.classes[one];
          return [percent(share), orNone(percentRange(low, high))];
        }),
      ]),
    },
  };
}

/** The rearfoot share along the course; worth a picture from three checkpoints on. */
export function coursePicture(findings: Findings, level: number): CoursePicture | null {
  const entries = findings.shares.filter((entry) => entry.classes.rearfoot.share !== null);
  if (entries.length < 3) return null;
  return {
    kind: 'course',
    id: 'rearfoot-along-the-course',
    title: `Rearfoot share along the course, with ${levelText(level)} intervals`,
    label: `Rearfoot share at ${entries.map((entry) => `${distance(entry.km)}: ${percent(entry.classes.rearfoot.share)}`).join('; ')}.`,
    marks: entries.map((entry) => ({
      km: entry.km,
      name: entry.checkpoint,
      value: entry.classes.rearfoot.share ?? 0,
      low: entry.classes.rearfoot.low,
      high: entry.classes.rearfoot.high,
    })),
    table: {
      caption: `Rearfoot share along the course, ${levelText(level)} intervals (Wilson)`,
      columns: ['Checkpoint', 'Distance', 'Classified', 'Rearfoot', 'Share', 'Interval'],
      rows: entries.map((entry) => {
        const { count: n, share, low, high } = entry.classes.rearfoot;
        return [
          entry.checkpoint,
          distance(entry.km),
          count(entry.classified),
          count(n),
          percent(share),
          orNone(percentRange(low, high)),
        ];
      }),
    },
  };
}

/** What was seen of each foot on its own, running bibs only. */
export function feetTable(findings: Findings): TableData {
  const values = [...FOOT_CLASSES, 'unseen', 'disputed'] as const;
  return {
    caption:
      'Left and right foot apart: running bibs by what was seen of each foot, and the share of the feet with a class',
    columns: [
      'Checkpoint',
      'Foot',
      ...values.map((value) => (value === 'unseen' ? 'not seen' : value)),
      'Rearfoot share',
    ],
    rows: findings.shares.flatMap((entry) =>
      (['left', 'right'] as const).map((side) => {
        const feet = entry.feet[side];
        const classed = FOOT_CLASSES.reduce((sum, one) => sum + feet[one], 0);
        return [
          name(entry),
          side,
          ...values.map((value) => count(feet[value])),
          percent(classed === 0 ? null : feet.rearfoot / classed),
        ];
      }),
    ),
  };
}
