import { wilsonInterval } from '../stats/proportions/wilson-interval.ts';
import type { CountedShare } from './practice-scores.ts';

/** A count of n as a share with its Wilson limits; all `null` without an item. */
export function countedShare(count: number, n: number, level: number): CountedShare {
  return { count, n, share: n > 0 ? count / n : null, ...wilsonInterval(count, n, level) };
}
