import { CLIPS_COLUMNS, STEPS_COLUMNS } from './clip-tables.ts';
import { MARKS_COLUMNS } from './marks-columns.ts';

export interface ClipField {
  readonly name: string;
  readonly type: 'string' | 'number' | 'integer' | 'datetime';
  readonly description: string;
}

/** What the columns of marks, steps and clips mean, in all three tables alike. */
const MEANINGS: Readonly<Record<string, readonly [type: ClipField['type'], description: string]>> = {
  record_id: ['string', 'Id of the record (UUID version 7).'],
  race: ['string', 'Name of the race.'],
  checkpoint: ['string', 'Where the clip was taken.'],
  km: ['number', 'Distance of the checkpoint from the start, km.'],
  clip: [
    'string',
    'The video file by its fingerprint (SHA-256 of size, start and end), or a number where bibs are codes.',
  ],
  passage: ['string', 'One runner’s way through one clip as one observer reviewed it.'],
  sighting_id: ['string', 'Id of the sighting that the passage ended in. Empty: none.'],
  bib: ['string', 'Bib of the passage. Text, never a number. Empty: not readable.'],
  gait: ['string', 'run or walk.'],
  observer: ['string', 'Code of who reviewed the clip.'],
  direction: ['string', 'Where runners go in the picture: left or right.'],
  foot: ['string', 'left or right.'],
  side: ['string', 'near or far: towards the lens or away from it.'],
  class: ['string', 'What the reviewer called the foot.'],
  event: [
    'string',
    'contact: first frame in which the shoe touches; toeoff: first in which it is clear; flat: sole on the ground.',
  ],
  frame: ['integer', 'Frame in presentation order, from 0.'],
  at_s: ['number', 'Recorded time of the frame since frame 0, s.'],
  gap_s: ['number', 'Recorded time since the frame before, s: how far off the event may be.'],
  fps_recorded: ['number', 'Frames a second that the camera took.'],
  fps_from: ['string', 'Where that rate is known from: file, tag or person.'],
  fps_stored: ['number', 'Frames a second of the file’s own time.'],
  timing: ['string', 'even: frames on a grid; listed: each at its own time.'],
  width: ['integer', 'Display pixels.'],
  height: ['integer', 'Display pixels.'],
  rotation: ['integer', 'Degrees by which the file turns its picture.'],
  codec: ['string', 'Parameter string of the codec.'],
  level_deg: ['number', 'Tilt of something level in the picture, degrees, rising to the right. Empty: not marked.'],
  level: ['string', 'Two points of something level: x1 y1 x2 y2, pixels.'],
  lens_off: ['number', 'Degrees between the lens and the perpendicular to the running line.'],
  mirrored: ['string', 'true: the picture is mirrored.'],
  doubtful: ['string', 'true: hidden or blurred, used in no figure.'],
  made_at: ['datetime', 'When the record was made, UTC.'],
  note: ['string', 'Free text.'],
  device: ['string', 'Name of the device.'],
  seq: ['integer', 'Counts the records of the device from 1.'],
  contact_frame: ['integer', 'Frame of contact.'],
  toeoff_frame: ['integer', 'Frame of toe-off.'],
  flat_frame: ['integer', 'Frame in which the sole is flat.'],
  contact_s: ['number', 'Contact time, s.'],
  contact_low: ['number', 'The true contact time is above this, s.'],
  contact_high: ['number', 'The true contact time is below this, s.'],
  flight_s: ['number', 'Flight time to the next contact, s; below 0 both feet are down.'],
  step_s: ['number', 'Time to the next contact of the other foot, s.'],
  stride_s: ['number', 'Time to the next contact of the same foot, s.'],
  duty_factor: ['number', 'Contact time ÷ stride.'],
  cadence: ['number', 'Steps a minute over the passage.'],
  strike_angle: ['number', 'Degrees, toe up is positive, against the flat shoe.'],
  strike_angle_sd: ['number', 'Standard deviation of it from points off by one pixel.'],
  angle_class: ['string', 'What the angle alone would say; uncertain within one SD of a cut-off.'],
  strike_index: ['number', 'Where along the sole it touches first, %: 0 heel, 100 toe.'],
  shank_angle: ['number', 'Degrees from the vertical, ankle ahead of the knee is positive.'],
  excluded: ['string', 'What made figures empty: doubtful, lowRate, shortShoe.'],
  bytes: ['integer', 'Size of the file.'],
  frames: ['integer', 'Frames of the clip.'],
  slate_frame: ['integer', 'A frame that shows a clock.'],
  slate_at: ['datetime', 'The instant that the clock shows in it, UTC.'],
  passages: ['integer', 'Passages with marks.'],
  marks: ['integer', 'Marks that stand.'],
};

function fieldOf(name: string): ClipField {
  const meaning = MEANINGS[name];
  if (meaning) return { name, type: meaning[0], description: meaning[1] };
  const [point = '', axis = ''] = name.split('_');
  return { name, type: 'number', description: `Place of the ${point}, ${axis}, display pixels from the top left.` };
}

/** Fields of the tables that clips add to an export. */
export const CLIP_FIELDS: Readonly<Record<string, readonly ClipField[]>> = {
  'marks.csv': MARKS_COLUMNS.map(fieldOf),
  'steps.csv': STEPS_COLUMNS.map(fieldOf),
  'clips.csv': CLIPS_COLUMNS.map(fieldOf),
};
