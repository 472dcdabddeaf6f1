import { RATE_OF_JOINS } from './limits-of-a-race.ts';

/**
 * The join with which the last rush began: the last one before which the whole allowance of joins was there.
 *
 * @param joins instants in milliseconds, oldest first
 */
export function rushBegan(joins: readonly number[]): number | null {
  const { atOnce, perSecond } = RATE_OF_JOINS;
  let began: number | null = null;
  let used = 0;
  let before = 0;
  for (const at of joins) {
    used = Math.max(0, used - ((at - before) / 1000) * perSecond);
    if (used === 0) began = at;
    used = Math.min(atOnce, used + 1);
    before = at;
  }
  return began;
}
