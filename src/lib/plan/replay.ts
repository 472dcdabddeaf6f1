import { quarterOfPlace } from './passing-field.ts';
import type { PassedCheckpoint } from './watched.ts';

export interface Replay {
  readonly classed: number;
  readonly share: number | null;
  readonly quarterShare: readonly (number | null)[];
}

/** Above any number of runners: a moment and a runner in one number, so that sorting it settles ties too. */
const PLACES = 2 ** 18;

/**
 * Last year's list itself, runner by runner, everyone due, observers in turn: whoever is still busy misses the runner. Ties
 * in passing go to the faster.
 */
export function replay({ runners, passedMs, quarters, observers, secondsEach }: PassedCheckpoint): Replay {
  if (runners === 0) return { classed: 0, share: null, quarterShare: [null, null, null, null] };
  const inOrder = passedMs.map((ms, i) => ms * PLACES + i).sort();
  const busyMs = Math.floor(1000 * secondsEach + 0.5);
  const freeAt = new Float64Array(observers);
  const classed = [0, 0, 0, 0];
  for (let turn = 0; observers > 0 && turn < runners; turn += 1) {
    const at = Math.floor(inOrder[turn]! / PLACES);
    const who = turn % observers;
    if (at < freeAt[who]!) continue;
    freeAt[who] = at + busyMs;
    classed[quarterOfPlace(inOrder[turn]! % PLACES, runners)]! += 1;
  }
  const total = classed.reduce((sum, n) => sum + n, 0);
  return {
    classed: total,
    share: total / runners,
    quarterShare: classed.map((n, quarter) => (quarters[quarter]! > 0 ? n / quarters[quarter]! : null)),
  };
}
