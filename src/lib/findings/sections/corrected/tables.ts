import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import { count, levelText, orNone, percent, percentRange, pointRange, signedPoints } from '../../../words/numbers.ts';
import type { Findings } from '../../findings.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { TableData } from '../../series-picture.ts';
import type { CorrectedShare, PracticeCorrection, Validation } from './corrected.ts';

const sum = (counts: readonly number[]): number => counts.reduce((total, one) => total + one, 0);

/** Every corrected figure with its denominators: shares of the four classes, who was read as what, and the change. */
export function correctedTables(findings: Findings, level: number): TableData[] {
  const { validation, practice } = findings.corrected ?? { validation: null, practice: null };
  return [
    ...(validation ? validationTables(findings, validation, level) : []),
    ...(practice ? practiceTables(findings, practice, level) : []),
    ...changeTable(validation, practice, level),
  ];
}

function validationTables(findings: Findings, { checkpoints }: Validation, level: number): TableData[] {
  return checkpoints.flatMap(({ checkpoint, live, validated, classes, table }) => [
    {
      caption: `${place(findings, checkpoint)}, by clip: shares of ${count(live)} classed live, ${count(validated)} of them by clip too; ${levelText(level)} intervals`,
      columns: ['Class', 'Called live', 'Reviewed', 'As called', 'Corrected', 'Standard error', 'Interval'],
      rows: RUNNER_CLASSES.map((name, i) => [
        name,
        count(Math.round((classes[name].observed ?? 0) * live)),
        count(sum(table[i]!)),
        ...shareCells(classes[name]),
      ]),
    },
    ...(validated > 0
      ? [whoWasWhat(`${place(findings, checkpoint)}: runners by class called live and class on the clip`, table)]
      : []),
  ]);
}

function whoWasWhat(caption: string, table: readonly (readonly number[])[]): TableData {
  return {
    caption,
    columns: ['Called live', ...RUNNER_CLASSES.map((name) => `${name} on clip`)],
    rows: RUNNER_CLASSES.map((name, i) => [name, ...table[i]!.map((runners) => count(runners))]),
  };
}

function practiceTables(
  findings: Findings,
  { checkpoints, observers }: PracticeCorrection,
  level: number,
): TableData[] {
  return [
    ...checkpoints.map(({ checkpoint, runners, readings, classes }) => ({
      caption: `${place(findings, checkpoint)}, by practice: shares of ${count(runners)} runners in ${count(readings)} readings; ${levelText(level)} intervals`,
      columns: ['Class', 'As called', 'Corrected', 'Standard error', 'Interval'],
      rows: RUNNER_CLASSES.map((name) => [name, ...shareCells(classes[name])]),
    })),
    {
      caption: 'Practice: answers that have a class, and how many of each class were read rightly',
      columns: ['Observer', 'Used', ...RUNNER_CLASSES],
      rows: observers.map(({ observer, practised, table }) => [
        observer,
        practised ? 'yes' : 'no, too few answers',
        ...table.map((row, i) => `${count(row[i]!)} of ${count(sum(row))}`),
      ]),
    },
  ];
}

function shareCells({ observed, share, se, low, high }: CorrectedShare): string[] {
  const error = se === null ? percent(null) : signedPoints(se).replace('+', '');
  return [percent(observed), percent(share), error, orNone(percentRange(low, high))];
}

function changeTable(validation: Validation | null, practice: PracticeCorrection | null, level: number): TableData[] {
  const byClip = validation?.difference;
  const byPractice = practice?.difference;
  const rows = [
    ...(byClip
      ? [
          ['as called', count(byClip.paired), signedPoints(byClip.observed.difference), pointsOf(byClip.observed)],
          [
            'corrected by clip',
            count(byClip.paired),
            signedPoints(byClip.corrected.difference),
            pointsOf(byClip.corrected),
          ],
        ]
      : []),
    ...(byPractice
      ? [
          [
            'as read by practised observers',
            count(byPractice.paired),
            signedPoints(byPractice.observed.difference),
            orNone(null),
          ],
          [
            'corrected by practice',
            count(byPractice.paired),
            signedPoints(byPractice.corrected.difference),
            pointsOf(byPractice.corrected),
          ],
        ]
      : []),
  ];
  if (rows.length === 0) return [];
  return [
    {
      caption: `Change of the rearfoot share, late less early, points; ${levelText(level)} intervals`,
      columns: ['Reading', 'Runners at both', 'Change', 'Interval'],
      rows,
    },
  ];
}

const pointsOf = ({ low, high }: { readonly low: number | null; readonly high: number | null }): string =>
  orNone(pointRange(low, high));

/** Midfoot, forefoot and asymmetric at one checkpoint, in the order of the classes. */
export const OTHER_CLASSES: readonly RunnerClass[] = RUNNER_CLASSES.filter((name) => name !== 'rearfoot');
