import { RATE_SOURCES } from '../../records/mark-words.ts';
import type { Clip } from '../../records/record.ts';
import { numberCell, trueCell, type Columns } from '../csv/column.ts';
import { CLIP_COLUMNS, RECORD_COLUMNS, TAKEN_COLUMNS, type ClipRow, type RecordRow } from './clip-columns.ts';

/** A clip as it is written. */
export interface ClipRowWritten extends ClipRow, RecordRow {
  readonly record: Clip;
  readonly clip: Clip;
  readonly passages: number;
  readonly marks: number;
}

const { record_id, race, made_at, note, device, seq } = RECORD_COLUMNS;
const { checkpoint, km, clip, observer } = CLIP_COLUMNS;
const { fps_recorded, timing, width, height, direction, lens_off } = TAKEN_COLUMNS;

/** The table of clips. */
export const CLIPS_COLUMNS = {
  record_id,
  race,
  checkpoint,
  km,
  clip,
  observer,
  bytes: {
    type: 'integer',
    description: 'Size of the file.',
    names: 'nobody',
    write: ({ record }) => String(record.bytes),
  },
  frames: {
    type: 'integer',
    description: 'Frames of the clip.',
    names: 'nobody',
    write: ({ record }) => String(record.frames),
  },
  fps_recorded,
  fps_from: {
    type: 'string',
    description: 'Where that rate is known from: file, tag or person.',
    constraints: { enum: RATE_SOURCES },
    names: 'nobody',
    write: ({ record }) => record.fpsFrom,
  },
  fps_stored: {
    type: 'number',
    description: 'Frames a second of the file’s own time.',
    names: 'nobody',
    write: ({ record }) => String(record.fpsStored),
  },
  timing,
  width,
  height,
  rotation: {
    type: 'integer',
    description: 'Degrees by which the file turns its picture.',
    names: 'nobody',
    write: ({ record }) => String(record.rotation),
  },
  codec: {
    type: 'string',
    description: 'Parameter string of the codec.',
    names: 'nobody',
    freeText: true,
    write: ({ record }) => record.codec,
  },
  direction,
  slate_frame: {
    type: 'integer',
    description: 'A frame that shows a clock.',
    names: 'nobody',
    write: ({ record }) => numberCell(record.slateFrame),
  },
  slate_at: {
    type: 'datetime',
    description: 'The instant that the clock shows in it, UTC.',
    names: 'nobody',
    write: ({ record }) => record.slateAt ?? '',
  },
  mirrored: {
    type: 'string',
    description: 'true: the picture is mirrored.',
    names: 'nobody',
    write: ({ record }) => trueCell(record.mirrored),
  },
  level: {
    type: 'string',
    description: 'Two points of something level: x1 y1 x2 y2, pixels.',
    names: 'nobody',
    write: ({ record }) => record.level?.join(' ') ?? '',
  },
  lens_off,
  passages: {
    type: 'integer',
    description: 'Passages with marks.',
    names: 'nobody',
    write: ({ passages }) => String(passages),
  },
  marks: {
    type: 'integer',
    description: 'Marks that stand.',
    names: 'nobody',
    write: ({ marks }) => String(marks),
  },
  made_at,
  note,
  device,
  seq,
} as const satisfies Columns<ClipRowWritten>;
