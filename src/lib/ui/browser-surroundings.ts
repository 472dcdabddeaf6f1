import type { Moment } from '../store/records/record-counters.ts';
import type { Surroundings } from '../sync/surroundings.ts';

/** The real network, clock, dice and timers. Works on plain http too: nothing here needs a secure page. */
export const browserSurroundings: Surroundings = {
  fetch: (path, init) => fetch(path, init),
  now: () => Date.now(),
  random: () => Math.random(),
  randomBytes: (bytes) => crypto.getRandomValues(bytes),
  setTimer: (ms, then) => {
    const timer = setTimeout(then, ms);
    return () => clearTimeout(timer);
  },
};

/** What a record made now is given. */
export const browserMoment = (): Moment => ({
  now: browserSurroundings.now(),
  randomBytes: browserSurroundings.randomBytes,
});
