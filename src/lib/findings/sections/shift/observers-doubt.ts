import type { Shift } from './figures.ts';

/**
 * Whether a difference between early and late may be the observers': nobody worked at both checkpoints, or fewer than
 * half of the pairs were seen by one and the same observer at both.
 */
export function mayBeTheObservers({ commonObservers, sameObserver, paired }: Shift): boolean {
  return commonObservers === 0 || 2 * sameObserver.pairs < paired;
}
