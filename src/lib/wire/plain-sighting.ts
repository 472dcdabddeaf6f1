import type { Sighting } from '../records/record.ts';

/** Text that JSON writes as it is: printable ASCII but for quote and backslash, no blank at its ends. */
const code = (longest: number) => String.raw`[!#-[\]-~](?:[ !#-[\]-~]{0,${longest - 2}}[!#-[\]-~])?`;
const END_OF_ID = '[89ab][0-9a-f]{3}-[0-9a-f]{12}';
const INSTANT = String.raw`[12]\d{3}-(?:0[1-9]|1[0-2])-(?:0[1-9]|1\d|2[0-8])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z`;
const FOOT = 'rearfoot|midfoot|forefoot|unseen';

/** A sighting's canonical line, each value a group; one with a mark such as `passed` is left to the schema. */
const PLAIN_SIGHTING = new RegExp(
  [
    `{"id":"([0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-${END_OF_ID})"`,
    '"kind":"sighting"',
    `"race":"([0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-${END_OF_ID})"`,
    `"observer":"(${code(32)})"`,
    `"device":"(${code(64)})"`,
    String.raw`"seq":([1-9]\d{0,14})`,
    `"madeAt":"(${INSTANT})"`,
    `"checkpoint":"(${code(36)})"`,
    `"bib":(?:null|"(${code(16)})")`,
    `"left":"(${FOOT})"`,
    `"right":"(${FOOT})"`,
    '"method":"(live|clip)"',
    `"observedAt":"(${INSTANT})"}`,
  ].join(','),
  'y',
);

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
  PLAIN_SIGHTING.lastIndex = from;
  const found = PLAIN_SIGHTING.exec(text);
  if (!found) return null;
  const [line, id, race, observer, device, seq, madeAt, checkpoint, bib = null, left, right, method, observedAt] =
    found;
  const record = { id, kind: 'sighting', race, observer, device, seq: Number(seq), madeAt, checkpoint, bib };
  return { record: { ...record, left, right, method, observedAt } as Sighting, line };
}
