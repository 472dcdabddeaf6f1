import { GAITS, type Gait } from '../../records/foot.ts';
import { SIDES, TIMINGS, type Side, type Timing } from '../../records/mark-words.ts';
import { NEARNESSES, type Nearness } from '../../clips/passage.ts';
import { numberCell, type Columns } from '../csv/column.ts';
import { KM_FACTS, NOTE_FACTS, RACE_FACTS } from '../csv/common-facts.ts';
import { bibWords } from '../csv/person-columns.ts';

/** What every row of a table about clips says of where it belongs. */
export interface ClipRow {
  readonly checkpoint: string;
  readonly km: number | undefined;
  readonly observer: string;
  /** The clip's name in this table: its fingerprint, or a number where bibs are codes. */
  readonly clipName: string;
}

export const CLIP_COLUMNS = {
  checkpoint: {
    type: 'string',
    description: 'Where the clip was taken.',
    names: 'nobody',
    freeText: true,
    read: 'needed',
    write: ({ checkpoint }) => checkpoint,
  },
  km: {
    ...KM_FACTS,
    write: ({ km }) => numberCell(km),
  },
  observer: {
    type: 'string',
    description: 'Code of who reviewed the clip.',
    names: 'nobody',
    freeText: true,
    read: 'needed',
    write: ({ observer }) => observer,
  },
  clip: {
    type: 'string',
    description:
      'The video file by its fingerprint (SHA-256 of size, start and end), or a number where bibs are codes.',
    names: 'nobody',
    read: 'needed',
    write: ({ clipName }) => clipName,
  },
} as const satisfies Columns<ClipRow>;

/** The record that a row is about. */
export interface RecordRow {
  readonly race: string;
  readonly record: {
    readonly id: string;
    readonly madeAt: string;
    readonly note?: string | undefined;
    readonly device: string;
    readonly seq: number;
  };
}

export const RECORD_COLUMNS = {
  record_id: {
    type: 'string',
    description: 'Id of the record (UUID version 7).',
    names: 'nobody',
    read: 'needed',
    write: ({ record }) => record.id,
  },
  race: {
    ...RACE_FACTS,
    write: ({ race }) => race,
  },
  made_at: {
    type: 'datetime',
    description: 'When the record was made, UTC.',
    names: 'nobody',
    read: 'needed',
    write: ({ record }) => record.madeAt,
  },
  note: {
    ...NOTE_FACTS,
    write: ({ record }) => record.note ?? '',
  },
  device: {
    type: 'string',
    description: 'Name of the device.',
    names: 'nobody',
    freeText: true,
    write: ({ record }) => record.device,
  },
  seq: {
    type: 'integer',
    description: 'Counts the records of the device from 1.',
    names: 'nobody',
    write: ({ record }) => String(record.seq),
  },
} as const satisfies Columns<RecordRow>;

/** One foot in a passage. */
export interface PassageRow {
  /** The passage's name in this table: its id, or a number where bibs are codes. */
  readonly passageName: string;
  readonly bib: string | null;
  readonly gait: Gait;
  readonly foot: Side;
  readonly nearness: Nearness;
}

export const PASSAGE_COLUMNS = {
  passage: {
    type: 'string',
    description: 'One runner’s way through one clip as one observer reviewed it.',
    names: 'nobody',
    read: 'needed',
    write: ({ passageName }) => passageName,
  },
  bib: {
    type: 'string',
    description: (treatment) => `${bibWords(treatment)} Text, never a number. Empty: not readable.`,
    names: 'bib',
    freeText: true,
    read: 'needed',
    write: ({ bib }) => bib ?? '',
  },
  gait: {
    type: 'string',
    description: 'run or walk.',
    constraints: { enum: GAITS },
    names: 'nobody',
    read: 'needed',
    write: ({ gait }) => gait,
  },
  foot: {
    type: 'string',
    description: 'left or right.',
    constraints: { enum: SIDES },
    names: 'nobody',
    read: 'needed',
    write: ({ foot }) => foot,
  },
  side: {
    type: 'string',
    description: 'near or far: towards the lens or away from it.',
    constraints: { enum: NEARNESSES },
    names: 'nobody',
    read: 'needed',
    write: ({ nearness }) => nearness,
  },
} as const satisfies Columns<PassageRow>;

/** How the clip was taken. */
export interface TakenRow {
  readonly clip: {
    readonly timing: Timing;
    readonly width: number;
    readonly height: number;
    readonly direction: Side;
    readonly lensOff?: number | undefined;
    readonly fpsRecorded: number;
  };
}

export const TAKEN_COLUMNS = {
  direction: {
    type: 'string',
    description: 'Where runners go in the picture: left or right.',
    constraints: { enum: SIDES },
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => clip.direction,
  },
  fps_recorded: {
    type: 'number',
    description: 'Frames a second that the camera took.',
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => String(clip.fpsRecorded),
  },
  timing: {
    type: 'string',
    description: 'even: frames on a grid; listed: each at its own time.',
    constraints: { enum: TIMINGS },
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => clip.timing,
  },
  width: {
    type: 'integer',
    description: 'Display pixels.',
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => String(clip.width),
  },
  height: {
    type: 'integer',
    description: 'Display pixels.',
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => String(clip.height),
  },
  lens_off: {
    type: 'number',
    description: 'Degrees between the lens and the perpendicular to the running line.',
    names: 'nobody',
    read: 'needed',
    write: ({ clip }) => numberCell(clip.lensOff),
  },
} as const satisfies Columns<TakenRow>;
