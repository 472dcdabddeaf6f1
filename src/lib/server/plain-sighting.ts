import type { Sighting } from '../domain/record.ts';

const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const RACE = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
/** Text that JSON writes as it is: printable ASCII but for quote and backslash, no blank at its ends. */
const CODE = /^[!#-[\]-~](?:[ !#-[\]-~]{0,62}[!#-[\]-~])?$/;
const INSTANT = /^[12]\d{3}-(?:0[1-9]|1[0-2])-(?:0[1-9]|1\d|2[0-8])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;
const FEET: ReadonlySet<unknown> = new Set(['rearfoot', 'midfoot', 'forefoot', 'unseen']);

const isCode = (value: unknown, longest: number): value is string =>
  typeof value === 'string' && value.length <= longest && CODE.test(value);

/**
 * The canonical line of a sighting that is plainly sound, else null. Nine in ten records are, and the schema takes four
 * times as long for them as the store; what is not plainly sound is left to the schema, so null says nothing against a
 * record. A property test holds that this never takes what the schema would not, nor writes another line.
 */
export function plainSightingLine(value: unknown): { record: Sighting; line: string } | null {
  if (typeof value !== 'object' || value === null) return null;
  const r = value as Record<string, unknown>;
  if (r['kind'] !== 'sighting') return null;
  const { id, race, observer, device, seq, madeAt, checkpoint, bib, left, right, method, observedAt } = r;
  if (typeof id !== 'string' || !ID.test(id) || typeof race !== 'string' || !RACE.test(race)) return null;
  if (!isCode(observer, 32) || !isCode(device, 64) || !isCode(checkpoint, 36)) return null;
  if (bib !== null && !isCode(bib, 16)) return null;
  if (typeof seq !== 'number' || !Number.isSafeInteger(seq) || seq < 1) return null;
  if (typeof madeAt !== 'string' || !INSTANT.test(madeAt)) return null;
  if (typeof observedAt !== 'string' || !INSTANT.test(observedAt)) return null;
  if (!FEET.has(left) || !FEET.has(right) || (method !== 'live' && method !== 'clip')) return null;
  // Walkers, notes and fields nobody knows go by the schema.
  let fields = 0;
  for (const key in r) if (Object.hasOwn(r, key)) fields += 1;
  if (fields !== 13) return null;
  const line =
    `{"id":"${id}","kind":"sighting","race":"${race}","observer":"${observer}","device":"${device}","seq":${seq},` +
    `"madeAt":"${madeAt}","checkpoint":"${checkpoint}","bib":${bib === null ? 'null' : `"${bib}"`},` +
    `"left":"${left as string}","right":"${right as string}","method":"${method}","observedAt":"${observedAt}"}`;
  return { record: value as Sighting, line };
}
