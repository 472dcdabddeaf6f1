import * as v from 'valibot';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordLine } from '../../records/canonical-record.ts';
import { recordSchema } from '../../records/record.ts';
import { pushSchema } from '../../wire/wire.ts';
import { readPush } from './read-push.ts';

const sighting = (seq: number, bib: string | null = '7') => ({
  id: `01920000-0000-7000-8000-${String(seq).padStart(12, '0')}`,
  kind: 'sighting',
  race: '3f0f9a52-6c1e-4b0a-9d53-0c6a5f3b2a11',
  observer: 'A1',
  device: 'tablet-1',
  seq,
  madeAt: '2026-10-04T07:30:05.120Z',
  checkpoint: 'k5',
  bib,
  left: 'rearfoot',
  right: 'midfoot',
  method: 'live',
  observedAt: '2026-10-04T07:30:05.000Z',
});
const reversed = (record: object) => Object.fromEntries(Object.entries(record).reverse());

/** Lines of the records and reasons of what is none, by the schemas alone; null for a body that is no push. */
function bySchemas(text: string) {
  try {
    const { records, ...rest } = v.parse(pushSchema, JSON.parse(text));
    const read = records.map((value) => {
      const parsed = v.safeParse(recordSchema, value);
      return parsed.success ? recordLine(parsed.output) : 'malformed';
    });
    return { records: read, ...rest };
  } catch {
    return null;
  }
}

function asRead(text: string) {
  const push = readPush(text);
  if (!push.ok) return null;
  const { records, ...rest } = push.value;
  return { records: records.map((read) => ('reason' in read ? 'malformed' : read.line)), ...rest };
}

const record = fc.oneof(
  { weight: 3, arbitrary: fc.integer({ min: 1, max: 9 }).map((seq) => sighting(seq)) },
  fc.constantFrom(
    sighting(1, null),
    reversed(sighting(2)),
    { ...sighting(3), note: 'one } and {"id":1}' },
    { ...sighting(4), note: 'a "quote" \\ and a line\nend' },
    { ...sighting(5), bib: 'é\ud800' },
    { ...sighting(6), gait: 'walk', left: 'unseen', right: 'unseen' },
    { ...sighting(7), surplus: { deep: [{}] } },
    { ...sighting(8), seq: '8' },
    {},
    [],
    null,
    'text',
    5,
  ),
);
const rest = fc.record(
  {
    sentAt: fc.constantFrom<unknown>('2026-10-04T07:30:05.120Z', '2026-10-04T07:30:05.120Z', 'noon', '}'),
    lastSeq: fc.constantFrom<unknown>(0, 12, 12, -1, 1.5, '12'),
    other: fc.constantFrom<unknown>(1, [1], { records: [] }),
  },
  { requiredKeys: [] },
);
/** Pushes as tablets write them, and bodies that are nearly so. */
const body = fc
  .record({
    records: fc.array(record, { maxLength: 12 }),
    rest,
    space: fc.constantFrom(0, 0, 0, 1),
    cut: fc.option(fc.nat(), { freq: 2 }),
    last: fc.boolean(),
  })
  .map(({ records, rest, space, cut, last }) => {
    const text = JSON.stringify(last ? { ...rest, records } : { records, ...rest }, null, space);
    return cut === null ? text : text.slice(0, cut % (text.length + 1)) + text.slice((cut % (text.length + 1)) + 1);
  });

test('reads every push as the schemas do', () => {
  let plain = 0;
  fc.assert(
    fc.property(body, (text) => {
      const expected = bySchemas(text);
      if (expected) plain += 1;
      expect(asRead(text)).toEqual(expected);
    }),
    { numRuns: 5_000 },
  );
  expect(plain).toBeGreaterThan(1_000);
});

test('reads what tablets send', () => {
  const records = [sighting(1), { ...sighting(2), note: 'hat } hides bib' }, sighting(3)];
  const read = asRead(JSON.stringify({ records, sentAt: '2026-10-04T07:30:05.120Z', lastSeq: 3 }));
  expect(read).toEqual({
    records: [JSON.stringify(records[0]), expect.stringContaining('hides bib') as string, JSON.stringify(records[2])],
    sentAt: '2026-10-04T07:30:05.120Z',
    lastSeq: 3,
  });
});

test('does not read past a second list of records, which would stand for the first', () => {
  const [first, second] = [JSON.stringify(sighting(1)), JSON.stringify(sighting(2))];
  expect(asRead(`{"records":[${first}],"records":[${second}]}`)).toEqual({ records: [second] });
});

test('takes no more records than a push may have', () => {
  const push = (count: number) => JSON.stringify({ records: Array.from({ length: count }, (_, i) => sighting(i + 1)) });
  expect(readPush(push(1000)).ok).toBe(true);
  expect(readPush(push(1001))).toMatchObject({ ok: false, error: { type: 'malformed' } });
  expect(readPush(push(0))).toMatchObject({ ok: false, error: { type: 'malformed' } });
});
