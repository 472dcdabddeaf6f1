import * as v from 'valibot';
import { MARK_EVENTS, POINT_NAMES, SIDES } from './mark-words.ts';

/** Limits of a clip; longer or larger ones are refused when they are opened. */
export const CLIP_RANGES = {
  mostFrames: 1_000_000,
  leastSide: 16,
  mostSide: 8192,
  leastFps: 20,
  mostFps: 1000,
} as const;

const UUID_V7 = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

export const whole = (least: number, most: number) =>
  v.pipe(v.number(), v.safeInteger(), v.minValue(least), v.maxValue(most));

/** What a clip goes by, whatever its name. */
export const fingerprintSchema = v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/, 'expected 64 hex digits'));
export const passageSchema = v.pipe(v.string(), v.regex(UUID_V7, 'expected a UUID version 7 in lower case'));
export const frameSchema = whole(0, CLIP_RANGES.mostFrames - 1);
export const sideSchema = v.picklist(SIDES);
export const eventSchema = v.picklist(MARK_EVENTS);

const pixels = v.pipe(
  v.number(),
  v.minValue(0),
  v.maxValue(CLIP_RANGES.mostSide),
  v.check((value) => Math.round(value * 10) / 10 === value, 'expected at most one decimal'),
);
export const pointSchema = v.tuple([pixels, pixels]);
export const linePoints = v.tuple([pixels, pixels, pixels, pixels]);

const point = v.optional(pointSchema);
/** The points of a shoe and a shank; which of them may be there depends on the event. */
export const POINT_FIELDS = { heel: point, toe: point, knee: point, ankle: point, touch: point };

/** Where a mark stands: the frame with the file's own time of it. */
export const PLACE_FIELDS = {
  frame: frameSchema,
  atUs: whole(0, Number.MAX_SAFE_INTEGER),
  gapUs: whole(1, Number.MAX_SAFE_INTEGER),
};

type Points = { readonly [Name in (typeof POINT_NAMES)[number]]?: unknown };

/** Heel and toe, knee and ankle come both or not at all; the point that touches first needs the shoe. */
export const pointsInPairs = (r: Points) =>
  (r.heel === undefined) === (r.toe === undefined) &&
  (r.knee === undefined) === (r.ankle === undefined) &&
  (r.touch === undefined || r.heel !== undefined);
