/** A foot, or a direction in the picture. */
export const SIDES = ['left', 'right'] as const;
export type Side = (typeof SIDES)[number];

/**
 * Events of one foot: the first frame in which the shoe touches, the first in which it is clear, and one in which the sole
 * lies flat.
 */
export const MARK_EVENTS = ['contact', 'toeoff', 'flat'] as const;
export type MarkEvent = (typeof MARK_EVENTS)[number];

export const POINT_NAMES = ['heel', 'toe', 'knee', 'ankle', 'touch'] as const;
export type PointName = (typeof POINT_NAMES)[number];

/** Whether a clip's frames lie on an even grid, or each has to be taken at its own time. */
export const TIMINGS = ['even', 'listed'] as const;
export type Timing = (typeof TIMINGS)[number];

/** Where the rate at which the camera took a clip is known from. */
export const RATE_SOURCES = ['file', 'tag', 'person'] as const;
export type RateSource = (typeof RATE_SOURCES)[number];
