import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { isClassified } from '../../../sightings/runner-classes.ts';
import { quantileType7 } from '../../../stats/samples/quantile-type7.ts';
import type { Field } from '../../field.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { FinishSpreads } from './pictures.ts';

/**
 * How far the finish times of each class reach, for the whiskers of a box plot: 5th and 95th percentile, seconds.
 *
 * @param by place of the checkpoint in the table
 */
export function finishSpreads({ classes }: ResolvedRace, field: Field, by: number): FinishSpreads {
  const seconds: number[][] = RUNNER_CLASSES.map(() => []);
  for (let i = 0; i < classes.size; i += 1) {
    if (classes.checkpoint[i] !== by || !isClassified(classes.outcome[i]!)) continue;
    const finish = field.rows[field.rowOfBib[classes.bib[i]!]!]?.finish;
    if (finish !== undefined) seconds[classes.outcome[i]!]!.push(finish);
  }
  const spreads: FinishSpreads = {};
  RUNNER_CLASSES.forEach((name, place) => {
    const sorted = Float64Array.from(seconds[place]!).sort();
    const [low, high] = [quantileType7(sorted, 0.05), quantileType7(sorted, 0.95)];
    if (low !== null && high !== null) spreads[name] = { low, high };
  });
  return spreads;
}
