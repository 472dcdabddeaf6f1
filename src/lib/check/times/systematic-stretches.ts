import type { CheckedField } from './checked-field.ts';
import { PACE } from './pace-line.ts';
import { median } from './robust-line.ts';
import { isHard, type RunnerDay } from './runner-days.ts';

/** With this share of impossible steps the clocks or the set-up are wrong, not the runners; common practice, no source. */
const SYSTEMATIC_SHARE = 0.2;
/** A usual pace, to say how far off the times are; common practice, no source. */
const USUAL_SECONDS_PER_KM = 360;

/** A stretch between two points, the runners with times at both, and the median of how far off these are. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly runners: number;
  readonly seconds: number;
}

/**
 * The stretches that a good part of the field cannot have run as the times say: the clock of a tablet at one end, or the
 * set-up, is wrong. One for each two points, with how far off the times are against a usual pace.
 */
export function systematicStretches(field: CheckedField, days: readonly RunnerDay[]): Stretch[] {
  const points = field.finish + 1;
  const stretches = new Map<number, { from: number; to: number; runners: number; bad: number; off: number[] }>();
  for (const { steps } of days) {
    for (const step of steps) {
      const { point: from } = step.from;
      const { point: to } = step.to;
      let known = stretches.get(from * points + to);
      if (!known) stretches.set(from * points + to, (known = { from, to, runners: 0, bad: 0, off: [] }));
      known.runners += 1;
      known.bad += isHard(step) ? 1 : 0;
      const km = field.km(to) - field.km(from);
      known.off.push(step.to.seconds - step.from.seconds - km * USUAL_SECONDS_PER_KM);
    }
  }
  return [...stretches.values()]
    .filter(({ runners, bad }) => runners >= PACE.fewPairs && bad / runners > SYSTEMATIC_SHARE)
    .map(({ from, to, runners, off }) => ({ from, to, runners, seconds: median(off) }));
}
