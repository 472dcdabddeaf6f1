import { angleClass, strikeIndex, type CutOffs } from '../../clips/angles.ts';
import type { PassageMark } from '../../clips/passage.ts';
import { LEAST_FPS_ANGLES, LEAST_FPS_TIMES, type StepMeasures } from '../../clips/step-figures.ts';
import type { Foot } from '../../records/foot.ts';
import { numberCell, type Columns } from '../csv/column.ts';
import { CLIP_COLUMNS, PASSAGE_COLUMNS, type ClipRow, type PassageRow } from './clip-columns.ts';

/** A step as it is written. */
export interface StepRow extends ClipRow, PassageRow {
  /** What the reviewer called the foot, where the passage ended in a sighting that stands. */
  readonly called: Foot | undefined;
  readonly contact: PassageMark;
  readonly toeoff: PassageMark;
  readonly flat: PassageMark | null;
  /** Seconds to the next contact of the same foot. */
  readonly stride: number | null;
  readonly measures: StepMeasures;
  readonly cadence: number | undefined;
  readonly fpsRecorded: number;
  readonly cutOffs: CutOffs;
}

/** Floating rest of a sum of times. */
const rounded = (value: number) => String(Number(value.toFixed(9)));

function strikeIndexOf({ contact: { points } }: StepRow): number | null {
  const { heel, toe, touch } = points;
  return heel && toe && touch ? strikeIndex({ heel, toe }, touch) : null;
}

function reasonsOf({ contact, toeoff, flat, fpsRecorded, measures }: StepRow): string {
  return [
    ...(contact.doubtful || toeoff.doubtful || flat?.doubtful ? ['doubtful'] : []),
    ...(fpsRecorded < LEAST_FPS_TIMES || fpsRecorded < LEAST_FPS_ANGLES ? ['lowRate'] : []),
    ...(measures.shortShoe ? ['shortShoe'] : []),
  ].join(' ');
}

const { clip, checkpoint, km, observer } = CLIP_COLUMNS;
const { passage, bib, gait, foot, side } = PASSAGE_COLUMNS;

/** The table of steps: a cell is empty where a figure cannot be had, and `excluded` says why. */
export const STEPS_COLUMNS = {
  clip,
  passage,
  checkpoint,
  km,
  bib,
  gait,
  observer,
  foot,
  side,
  class: {
    type: 'string',
    description: 'What the reviewer called the foot.',
    names: 'nobody',
    write: ({ called }) => called ?? '',
  },
  contact_frame: {
    type: 'integer',
    description: 'Frame of contact.',
    names: 'nobody',
    write: ({ contact }) => String(contact.frame),
  },
  toeoff_frame: {
    type: 'integer',
    description: 'Frame of toe-off.',
    names: 'nobody',
    write: ({ toeoff }) => String(toeoff.frame),
  },
  flat_frame: {
    type: 'integer',
    description: 'Frame in which the sole is flat.',
    names: 'nobody',
    write: ({ flat }) => numberCell(flat?.frame),
  },
  contact_s: {
    type: 'number',
    description: 'Contact time, s.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.contact?.value),
  },
  // The true duration lies between: each event happened after the frame before.
  contact_low: {
    type: 'number',
    description: 'The true contact time is above this, s.',
    names: 'nobody',
    write: ({ measures, toeoff }) => (measures.contact ? rounded(measures.contact.value - toeoff.gapSeconds) : ''),
  },
  contact_high: {
    type: 'number',
    description: 'The true contact time is below this, s.',
    names: 'nobody',
    write: ({ measures, contact }) => (measures.contact ? rounded(measures.contact.value + contact.gapSeconds) : ''),
  },
  flight_s: {
    type: 'number',
    description: 'Flight time to the next contact, s; below 0 both feet are down.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.flight?.value),
  },
  step_s: {
    type: 'number',
    description: 'Time to the next contact of the other foot, s.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.step?.value),
  },
  stride_s: {
    type: 'number',
    description: 'Time to the next contact of the same foot, s.',
    names: 'nobody',
    write: ({ stride }) => numberCell(stride),
  },
  duty_factor: {
    type: 'number',
    description: 'Contact time ÷ stride.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.duty?.value),
  },
  cadence: {
    type: 'number',
    description: 'Steps a minute over the passage.',
    names: 'nobody',
    write: ({ cadence }) => numberCell(cadence),
  },
  strike_angle: {
    type: 'number',
    description: 'Degrees, toe up is positive, against the flat shoe.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.strikeAngle?.value),
  },
  strike_angle_sd: {
    type: 'number',
    description: 'Standard deviation of it from points off by one pixel.',
    names: 'nobody',
    write: ({ measures: { strikeAngle } }) => (strikeAngle ? String(Math.sqrt(strikeAngle.pointVariance)) : ''),
  },
  angle_class: {
    type: 'string',
    description: 'What the angle alone would say; uncertain within one SD of a cut-off.',
    names: 'nobody',
    write: ({ measures: { strikeAngle: angle }, cutOffs }) =>
      angle ? angleClass({ degrees: angle.value, variance: angle.pointVariance }, cutOffs) : '',
  },
  strike_index: {
    type: 'number',
    description: 'Where along the sole it touches first, %: 0 heel, 100 toe.',
    names: 'nobody',
    write: (row) => numberCell(strikeIndexOf(row)),
  },
  shank_angle: {
    type: 'number',
    description: 'Degrees from the vertical, ankle ahead of the knee is positive.',
    names: 'nobody',
    write: ({ measures }) => numberCell(measures.shankAngle?.value),
  },
  excluded: {
    type: 'string',
    description: 'What made figures empty: doubtful, lowRate, shortShoe.',
    names: 'nobody',
    write: reasonsOf,
  },
} as const satisfies Columns<StepRow>;
