import type { RecordHead } from '../records/record-head.ts';
import type { Sighting } from '../records/record.ts';

/** Text that JSON writes as it is: printable ASCII but for quote and backslash, no blank at its ends. */
const code = (longest: number) => String.raw`[!#-[\]-~](?:[ !#-[\]-~]{0,${longest - 2}}[!#-[\]-~])?`;
const END_OF_ID = '[89ab][0-9a-f]{3}-[0-9a-f]{12}';
const INSTANT = String.raw`[12]\d{3}-(?:0[1-9]|1[0-2])-(?:0[1-9]|1\d|2[0-8])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z`;
const FOOT = 'rearfoot|midfoot|forefoot|unseen';

/**
 * A sighting's canonical line, each wanted value a group; one with a mark such as `passed` is left to the schema.
 *
 * @param isWanted whether a field's value is
 */
function plainSighting(isWanted: (field: string) => boolean): RegExp {
  const value = (field: string, pattern: string) => (isWanted(field) ? `(${pattern})` : `(?:${pattern})`);
  return new RegExp(
    [
      `{"id":"${value('id', `[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-${END_OF_ID}`)}"`,
      '"kind":"sighting"',
      `"race":"${value('race', `[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-${END_OF_ID}`)}"`,
      `"observer":"${value('observer', code(32))}"`,
      `"device":"${value('device', code(64))}"`,
      `"seq":${value('seq', String.raw`[1-9]\d{0,14}`)}`,
      `"madeAt":"${value('madeAt', INSTANT)}"`,
      `"checkpoint":"${value('checkpoint', code(36))}"`,
      `"bib":(?:null|"${value('bib', code(16))}")`,
      `"left":"${value('left', FOOT)}"`,
      `"right":"${value('right', FOOT)}"`,
      `"method":"${value('method', 'live|clip')}"`,
      `"observedAt":"${value('observedAt', INSTANT)}"}`,
    ].join(','),
    'y',
  );
}

export interface PlainSightingSeen extends Pick<
  Sighting,
  'id' | 'observer' | 'checkpoint' | 'bib' | 'left' | 'right' | 'method' | 'observedAt'
> {
  readonly line: string;
}

const WHOLE = plainSighting(() => true);
const HEAD = plainSighting((field) => field === 'id' || field === 'race' || field === 'device');

const SEEN = plainSighting((field) => !['race', 'device', 'seq', 'madeAt'].includes(field));

export interface PlainSighting {
  readonly record: Sighting;
  /** Its canonical form. */
  readonly line: string;
}

/**
 * The sighting that is written at `from`, if it is written canonically and plainly sound, else null. Nine in ten records
 * are, and parsing them, holding them against the schema and writing them again takes longer than storing them. What is not
 * plain is left to the schema, so null says nothing against a record. A property test holds that this never takes what
 * the schema would not, nor another line.
 */
export function plainSightingAt(text: string, from: number): PlainSighting | null {
  WHOLE.lastIndex = from;
  const found = WHOLE.exec(text);
  if (!found) return null;
  const [line, id, race, observer, device, seq, madeAt, checkpoint, bib = null, left, right, method, observedAt] =
    found;
  const record = { id, kind: 'sighting', race, observer, device, seq: Number(seq), madeAt, checkpoint, bib };
  return { record: { ...record, left, right, method, observedAt } as Sighting, line };
}

/**
 * The same, with no more of it than its head: all thirteen values of each of ten thousand records cost five times as long,
 * most of it for clearing them away.
 */
export function plainSightingHeadAt(
  text: string,
  from: number,
): { readonly record: RecordHead; readonly line: string } | null {
  HEAD.lastIndex = from;
  const found = HEAD.exec(text);
  if (!found) return null;
  const [line, id, race, device] = found as unknown as [string, string, string, string];
  return { record: { id, kind: 'sighting', race, device }, line };
}

/** The same, with what was seen of whom, by whom and when: what the findings keep of it. */
export function plainSightingSeenAt(text: string, from: number): PlainSightingSeen | null {
  SEEN.lastIndex = from;
  const found = SEEN.exec(text);
  if (!found) return null;
  const [line, id, observer, checkpoint, bib = null, left, right, method, observedAt] = found;
  return { line, id, observer, checkpoint, bib, left, right, method, observedAt } as PlainSightingSeen;
}
