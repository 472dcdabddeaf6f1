/** What two clocks of a device show at one moment, milliseconds: the one that can be set, and one that only runs. */
export interface ClockReading {
  readonly wall: number;
  readonly steady: number;
}

/** Below it a clock was put right by the network, not set. */
const LEAST_MS = 60_000;
/** A device that sleeps stops its steady clock in some browsers: it sleeps a night, not longer. */
const LONGEST_SLEEP_MS = 36 * 3_600_000;

/**
 * By how much the clock that can be set was set between two moments, milliseconds, ahead counted positive; 0 when it was
 * not, or by less than a minute. Summer time changes what a clock shows, not the instants that are compared here.
 *
 * @param asleep whether the device may have slept in between
 */
export function clockJump(before: ClockReading, now: ClockReading, asleep: boolean): number {
  const jump = now.wall - before.wall - (now.steady - before.steady);
  if (Math.abs(jump) < LEAST_MS) return 0;
  return asleep && jump > 0 && jump < LONGEST_SLEEP_MS ? 0 : jump;
}
