import { RUNNER_CLASSES, type FootClass, type RunnerClass } from '../../../records/foot.ts';
import { DISPUTED, FOOT_OUTCOMES, OUTCOMES, UNCLASSIFIED, WALKING } from '../../../sightings/runner-classes.ts';
import { wilsonInterval } from '../../../stats/proportions/wilson-interval.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** A count with its share of the classified runners and the Wilson score interval of that share. */
export interface ClassShare {
  count: number;
  share: number | null;
  low: number | null;
  high: number | null;
}

/** What the running bibs' foot of one side was seen to be. */
export type FootCounts = Record<FootClass | 'unseen' | 'disputed', number>;

export interface CheckpointShares {
  checkpoint: string;
  km: number;
  /** The denominator of the shares. */
  classified: number;
  unclassified: number;
  disputed: number;
  walking: number;
  classes: Record<RunnerClass, ClassShare>;
  feet: { left: FootCounts; right: FootCounts };
}

/** How the runners of each checkpoint divide among the classes, with Wilson intervals; denominator: the classified. */
export function sharesOf({ table, classes }: ResolvedRace, level: number): CheckpointShares[] {
  const places = table.checkpoints.length;
  const outcomes = new Int32Array(places * OUTCOMES.length);
  const left = new Int32Array(places * FOOT_OUTCOMES.length);
  const right = new Int32Array(places * FOOT_OUTCOMES.length);
  for (let i = 0; i < classes.size; i += 1) {
    const place = classes.checkpoint[i]!;
    outcomes[place * OUTCOMES.length + classes.outcome[i]!]! += 1;
    if (!classes.running[i]) continue;
    left[place * FOOT_OUTCOMES.length + classes.left[i]!]! += 1;
    right[place * FOOT_OUTCOMES.length + classes.right[i]!]! += 1;
  }
  return table.checkpoints.map(({ name, km }, place) => {
    const count = (outcome: number): number => outcomes[place * OUTCOMES.length + outcome]!;
    const classified = RUNNER_CLASSES.reduce((sum, _, outcome) => sum + count(outcome), 0);
    const feet = (counts: Int32Array): FootCounts =>
      recordBy(FOOT_OUTCOMES, (_, outcome) => counts[place * FOOT_OUTCOMES.length + outcome]!);
    return {
      checkpoint: name,
      km,
      classified,
      unclassified: count(UNCLASSIFIED),
      disputed: count(DISPUTED),
      walking: count(WALKING),
      classes: recordBy(RUNNER_CLASSES, (_, outcome) => ({
        count: count(outcome),
        share: classified > 0 ? count(outcome) / classified : null,
        ...wilsonInterval(count(outcome), classified, level),
      })),
      feet: { left: feet(left), right: feet(right) },
    };
  });
}
