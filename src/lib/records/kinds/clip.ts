import * as v from 'valibot';
import { CLIP_RANGES, fingerprintSchema, linePoints, sideSchema, whole, frameSchema } from '../mark-fields.ts';
import { RATE_SOURCES, TIMINGS } from '../mark-words.ts';
import { checkpointIdSchema, COMMON_FIELDS, instantSchema } from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

const fps = v.pipe(v.number(), v.minValue(CLIP_RANGES.leastFps), v.maxValue(CLIP_RANGES.mostFps));
const side = whole(CLIP_RANGES.leastSide, CLIP_RANGES.mostSide);

/**
 * Facts about one video file that is reviewed at one checkpoint, and what a person says of it. No byte or picture of the
 * file, nor its name. The latest one stands: a wrong rate is mended here, and not at each mark.
 */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('clip'),
    clip: fingerprintSchema,
    checkpoint: checkpointIdSchema,
    bytes: whole(1, Number.MAX_SAFE_INTEGER),
    frames: whole(2, CLIP_RANGES.mostFrames),
    /** Frames a second that the camera took, and where that is known from. */
    fpsRecorded: fps,
    fpsFrom: v.picklist(RATE_SOURCES),
    /** Frames a second of the file's own time. */
    fpsStored: v.pipe(v.number(), v.gtValue(0), v.maxValue(CLIP_RANGES.mostFps)),
    timing: v.picklist(TIMINGS),
    /** Display pixels after rotation and pixel aspect. */
    width: side,
    height: side,
    rotation: v.picklist([0, 90, 180, 270]),
    codec: v.pipe(v.string(), v.minLength(1), v.maxLength(32)),
    /** Where runners go in the picture. */
    direction: sideSchema,
    /** A frame and the instant that the slate shows in it. */
    slateFrame: v.optional(frameSchema),
    slateAt: v.optional(instantSchema),
    /** Near and far change places. */
    mirrored: v.optional(v.boolean()),
    /** Two points of something level: x1, y1, x2, y2. */
    level: v.optional(linePoints),
    /** Degrees between the lens and the perpendicular to the running line. */
    lensOff: v.optional(v.pipe(v.number(), v.minValue(0), v.maxValue(45))),
  }),
  v.check(
    (r) => (r.slateFrame === undefined) === (r.slateAt === undefined),
    'slateFrame and slateAt come both or none',
  ),
  v.check((r) => (r.slateFrame ?? 0) < r.frames, 'slateFrame is beyond the clip'),
  v.check((r) => r.level === undefined || r.level[0] < r.level[2], 'level: expected x1 below x2'),
);

export const clip = {
  number: 6,
  schema,
  leastRole: 'observer',
  targets: null,
  toObservers: true,
  tallied: false,
  subject: ['clip', 'checkpoint'],
} as const satisfies KindEntry;
