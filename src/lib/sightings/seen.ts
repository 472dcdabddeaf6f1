import { FOOT_VALUES, GAITS, METHODS } from '../records/foot.ts';

/** How a sighting came about; a ruling is the lead's, for what observers dispute. */
export const SIGHTING_METHODS = [...METHODS, 'ruling'] as const;
export type SightingMethod = (typeof SIGHTING_METHODS)[number];

/** A foot as a small integer: its place in `FOOT_VALUES`. */
export const UNSEEN = FOOT_VALUES.indexOf('unseen');
export const WALK = GAITS.indexOf('walk');
export const LIVE = SIGHTING_METHODS.indexOf('live');
export const CLIP = SIGHTING_METHODS.indexOf('clip');
export const RULING = SIGHTING_METHODS.indexOf('ruling');

/**
 * What was seen, in one number: left foot in bits 0–1, right foot in bits 2–3, gait in bit 4, method in bits 5–6, let pass
 * in bit 7, estimated time in bit 8.
 */
export function packSeen(
  left: number,
  right: number,
  gait: number,
  method: number,
  passed = false,
  timeEstimated = false,
): number {
  return left | (right << 2) | (gait << 4) | (method << 5) | (passed ? 128 : 0) | (timeEstimated ? 256 : 0);
}
export const leftOf = (seen: number): number => seen & 3;
export const rightOf = (seen: number): number => (seen >> 2) & 3;
export const gaitOf = (seen: number): number => (seen >> 4) & 1;
export const methodOf = (seen: number): number => (seen >> 5) & 3;
/** Let pass by the sampling rule: nobody looked. */
export const isPassed = (seen: number): boolean => (seen & 128) !== 0;
/** Keyed in from paper, the time lies between two that were written down. */
export const isTimeEstimated = (seen: number): boolean => (seen & 256) !== 0;

/** The foot towards the eye or the lens, as a small integer: its place here. */
export const NEAR_FEET = ['unknown', 'left', 'right'] as const;
export type NearFoot = (typeof NEAR_FEET)[number];
