import { REARFOOT } from '../../../sightings/runner-classes.ts';

/** Of the runners read rearfoot this part is reviewed, of the others more: they are few, and most slips touch them. */
const PART_OF_REARFOOT = 0.1;
const PART_OF_OTHERS = 0.6;
/** Fewer validated runners of a class than this make the corrected difference a hint. */
const LEAST = 10;

/**
 * How many runners of each live class to review on clip, so that shares can be corrected for what observers misread. The
 * parts are those with which the simulation of tests/reference/coverage.md held its level at 20 % in all.
 *
 * @param read runners at a checkpoint by live class, in class order
 */
export function validationSizes(read: readonly number[]): number[] {
  return read.map((runners, place) =>
    Math.min(runners, Math.max(LEAST, Math.round(runners * (place === REARFOOT ? PART_OF_REARFOOT : PART_OF_OTHERS)))),
  );
}
