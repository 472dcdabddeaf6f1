import { GAIT_FIGURES } from '../../../clips/step-figures.ts';
import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { count, decimal, distance, levelText, pNumber } from '../../../words/numbers.ts';
import type { TableData } from '../../series-picture.ts';
import type { CheckpointGait, GaitChange, GaitGroupName } from './gait.ts';
import { FIGURE_WORDS } from '../../../clips/figure-words.ts';
import { figureRange } from './words.ts';

const GROUPS: readonly (readonly [GaitGroupName, string])[] = [
  ['all', 'all who ran'],
  ...RUNNER_CLASSES.map((name) => [name, name] as const),
  ['walking', 'walking'],
];

/** A table for each checkpoint with marks: every figure of every group. */
export function gaitTables(gait: readonly CheckpointGait[], level: number): TableData[] {
  return gait
    .filter(({ runners }) => runners > 0)
    .map(({ checkpoint, km, groups }) => ({
      caption: `${checkpoint} (${distance(km)}): mean over runners, ${levelText(level)} interval, and the part of the spread that frames alone make`,
      columns: ['Group and figure', 'Runners', 'Mean', 'Interval', 'SD', 'SD by frames'],
      rows: GROUPS.flatMap(([group, words]) =>
        GAIT_FIGURES.filter((figure) => groups[group][figure].n > 0).map((figure) => {
          const { n, mean, low, high, sd, frameSd } = groups[group][figure];
          const { name, unit, digits } = FIGURE_WORDS[figure];
          return [
            `${words}: ${name}${unit ? `, ${unit}` : ''}`,
            ...[count(n), decimal(mean, digits), figureRange(figure, low, high)],
            ...[decimal(sd, digits), decimal(frameSd, digits)],
          ];
        }),
      ),
    }));
}

/** Late less early within the runners measured at both; `null` where nobody was. */
export function gaitChangeTable(change: GaitChange | null, level: number): TableData | null {
  const measured = change ? GAIT_FIGURES.filter((figure) => change[figure].n > 0) : [];
  if (!change || measured.length === 0) return null;
  return {
    caption: `${change.late} less ${change.early} in the same runners, ${levelText(level)} intervals, paired t-test`,
    columns: ['Figure', 'Runners', 'Early', 'Late', 'Change', 'Interval', 'p'],
    rows: measured.map((figure) => {
      const { n, early, late, difference, low, high, p } = change[figure];
      const { name, unit, digits } = FIGURE_WORDS[figure];
      return [
        `${name}${unit ? `, ${unit}` : ''}`,
        ...[count(n), decimal(early, digits), decimal(late, digits), decimal(difference, digits)],
        ...[figureRange(figure, low, high), pNumber(p)],
      ];
    }),
  };
}
