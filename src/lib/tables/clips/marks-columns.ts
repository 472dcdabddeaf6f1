import type { PassageMark } from '../../clips/passage.ts';
import { writtenLevel } from '../../clips/passages-of-race.ts';
import { MARK_EVENTS, POINT_NAMES, type PointName } from '../../records/mark-words.ts';
import type { Clip } from '../../records/record.ts';
import { trueCell, type Column, type Columns, type ReadName } from '../csv/column.ts';
import {
  CLIP_COLUMNS,
  PASSAGE_COLUMNS,
  RECORD_COLUMNS,
  TAKEN_COLUMNS,
  type ClipRow,
  type PassageRow,
  type RecordRow,
} from './clip-columns.ts';

/** A mark as it is written. */
export interface MarkRowWritten extends ClipRow, PassageRow, RecordRow {
  readonly clip: Clip;
  readonly mark: PassageMark;
  readonly sightingId: string | null;
}

const seconds = (value: number) => value.toFixed(6);

function placeColumn<Name extends PointName, Axis extends 'x' | 'y'>(
  point: Name,
  axis: Axis,
): Column<MarkRowWritten> & { readonly read: 'needed' } {
  return {
    type: 'number',
    description: `Place of the ${point}, ${axis}, display pixels from the top left.`,
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => {
      const at = mark.points[point];
      return at ? (at[axis] / 10).toFixed(1) : '';
    },
  };
}

const POINT_COLUMNS = Object.fromEntries(
  POINT_NAMES.flatMap((point) => (['x', 'y'] as const).map((axis) => [`${point}_${axis}`, placeColumn(point, axis)])),
) as Readonly<Record<`${PointName}_${'x' | 'y'}`, ReturnType<typeof placeColumn>>>;

const { record_id, race, made_at, note, device, seq } = RECORD_COLUMNS;
const { checkpoint, km, clip, observer } = CLIP_COLUMNS;
const { passage, bib, gait, foot, side } = PASSAGE_COLUMNS;
const { direction, fps_recorded, timing, width, height, lens_off } = TAKEN_COLUMNS;

/** The marks table. Columns are added at its end: tables that people have at home must go on reading. */
export const MARKS_COLUMNS = {
  record_id,
  race,
  checkpoint,
  km,
  clip,
  passage,
  sighting_id: {
    type: 'string',
    description: 'Id of the sighting that the passage ended in. Empty: none.',
    names: 'nobody',
    read: 'needed',
    write: ({ sightingId }) => sightingId ?? '',
  },
  bib,
  gait,
  observer,
  direction,
  foot,
  side,
  event: {
    type: 'string',
    description:
      'contact: first frame in which the shoe touches; toeoff: first in which it is clear; flat: sole on the ground.',
    constraints: { enum: MARK_EVENTS },
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => mark.event,
  },
  frame: {
    type: 'integer',
    description: 'Frame in presentation order, from 0.',
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => String(mark.frame),
  },
  at_s: {
    type: 'number',
    description: 'Recorded time of the frame since frame 0, s.',
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => seconds(mark.recordedUs / 1e6),
  },
  gap_s: {
    type: 'number',
    description: 'Recorded time since the frame before, s: how far off the event may be.',
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => seconds(mark.gapSeconds),
  },
  fps_recorded,
  timing,
  width,
  height,
  level_deg: {
    type: 'number',
    description: 'Tilt of something level in the picture, degrees, rising to the right. Empty: not marked.',
    names: 'nobody',
    read: 'needed',
    write: ({ clip: taken }) => (taken.level ? String(writtenLevel(taken)) : ''),
  },
  lens_off,
  ...POINT_COLUMNS,
  doubtful: {
    type: 'string',
    description: 'true: hidden or blurred, used in no figure.',
    names: 'nobody',
    read: 'needed',
    write: ({ mark }) => trueCell(mark.doubtful),
  },
  made_at,
  note,
  device,
  seq,
} as const satisfies Columns<MarkRowWritten>;
export type MarksColumn = ReadName<typeof MARKS_COLUMNS>;
