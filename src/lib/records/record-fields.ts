import * as v from 'valibot';
import { FOOT_VALUES, GAITS } from './foot.ts';
import { isUtcInstant } from './instant.ts';
import { UNPRINTABLE } from './unprintable.ts';

/** Greatest lengths in characters (UTF-16 units), as the hub promises them. */
export const LIMITS = {
  checkpointId: 36,
  bib: 16,
  runner: 64,
  observer: 32,
  note: 500,
  name: 120,
  device: 64,
} as const;

/** An unpaired surrogate: neither databases nor UTF-8 can write it. */
const UNPAIRED_SURROGATE = /\p{Cs}/u;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const UUID_V7 = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

const printable = (what: string) =>
  v.check<string, string>((text) => !UNPRINTABLE.test(text), `${what} has a control character`);
/** For what tells people or devices apart: it has to be kept exactly. */
const wholeCharacters = (what: string) =>
  v.check<string, string>((text) => !UNPAIRED_SURROGATE.test(text), `${what} has an unpaired surrogate`);

export const recordIdSchema = v.pipe(v.string(), v.regex(UUID_V7, 'expected a UUID version 7 in lower case'));
export const raceIdSchema = v.pipe(v.string(), v.regex(UUID, 'expected a UUID in lower case'));
export const checkpointIdSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.checkpointId),
  printable('checkpoint'),
  wholeCharacters('checkpoint'),
);
/** A bib is text: `007` is not `7`. Blanks at its ends would make two runners of one. */
export const bibSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.bib),
  printable('bib'),
  wholeCharacters('bib'),
  v.check((text) => text === text.trim(), 'bib has spaces at its ends'),
);
export const observerSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.observer),
  printable('observer'),
  wholeCharacters('observer'),
);
export const deviceSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.device),
  printable('device'),
  wholeCharacters('device'),
);
export const instantSchema = v.pipe(
  v.string(),
  v.check(isUtcInstant, 'expected an RFC 3339 instant in UTC with milliseconds, such as 2026-10-04T07:30:05.120Z'),
);
export const noteSchema = v.pipe(v.string(), v.maxLength(LIMITS.note));
export const footSchema = v.picklist(FOOT_VALUES);
export const gaitSchema = v.picklist(GAITS);

/** What every record says, whatever its kind. */
export const COMMON_FIELDS = {
  id: recordIdSchema,
  race: raceIdSchema,
  observer: observerSchema,
  device: deviceSchema,
  seq: v.pipe(v.number(), v.safeInteger(), v.minValue(1)),
  madeAt: instantSchema,
  note: v.optional(noteSchema),
};

export const WALKER_FEET = 'a walker has both feet unseen';
export const walkerHasNoClass = (r: {
  gait?: string | undefined;
  left?: string | undefined;
  right?: string | undefined;
}) => r.gait !== 'walk' || (r.left === 'unseen' && r.right === 'unseen');

/** The order in which a record's fields are written, the same in every file. */
export const RECORD_FIELDS = [
  'id',
  'kind',
  'race',
  'observer',
  'device',
  'seq',
  'madeAt',
  'target',
  'clip',
  'checkpoint',
  'bib',
  'gait',
  'left',
  'right',
  'method',
  'observedAt',
  'passed',
  'timeEstimated',
  'bytes',
  'frames',
  'fpsRecorded',
  'fpsFrom',
  'fpsStored',
  'timing',
  'width',
  'height',
  'rotation',
  'codec',
  'direction',
  'slateFrame',
  'slateAt',
  'mirrored',
  'level',
  'lensOff',
  'passage',
  'foot',
  'event',
  'frame',
  'atUs',
  'gapUs',
  'heel',
  'toe',
  'knee',
  'ankle',
  'touch',
  'doubtful',
  'doubt',
  'settles',
  'targets',
  'answers',
  'expected',
  'early',
  'late',
  'pairs',
  'seed',
  'bibs',
  'live',
  'note',
] as const;
