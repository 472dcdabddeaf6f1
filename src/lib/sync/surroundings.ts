import type { RandomBytes } from '../records/new-id.ts';

/** What the exchange needs from the world: handed in, so that tests bring their own network, clock and dice. */
export interface Surroundings {
  readonly fetch: (path: string, init: RequestInit) => Promise<Response>;
  /** Milliseconds since 1970-01-01T00:00Z. */
  readonly now: () => number;
  /** At least 0, less than 1. */
  readonly random: () => number;
  readonly randomBytes: RandomBytes;
  /** Calls `then` once after `ms` milliseconds unless the function it returns is called before. */
  readonly setTimer: (ms: number, then: () => void) => () => void;
}
