import * as v from 'valibot';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordLine } from '../records/canonical-record.ts';
import { recordSchema } from '../records/record.ts';
import { plainSightingAt, plainSightingHeadAt } from './plain-sighting.ts';

const sound = {
  id: '01920000-0000-7000-8000-000000000001',
  kind: 'sighting',
  race: '3f0f9a52-6c1e-4b0a-9d53-0c6a5f3b2a11',
  observer: 'A1',
  device: 'tablet-1',
  seq: 1,
  madeAt: '2026-10-04T07:30:05.120Z',
  checkpoint: 'k5',
  bib: '7',
  left: 'rearfoot',
  right: 'midfoot',
  method: 'live',
  observedAt: '2026-10-04T07:30:05.000Z',
};

const oddText = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 20 }),
  fc.string({ maxLength: 70 }),
  fc.constantFrom(
    '',
    ' 7',
    '7 ',
    'a"b',
    'a\\b',
    'é',
    '\ud800',
    '\u0000',
    'x'.repeat(17),
    'x'.repeat(33),
    'x'.repeat(65),
  ),
);
const oddInstant = fc.oneof(
  fc.date({ min: new Date(-1), max: new Date('2999-12-31'), noInvalidDate: true }).map((date) => date.toISOString()),
  fc.constantFrom(
    '2026-02-29T00:00:00.000Z',
    '2026-02-31T00:00:00.000Z',
    '2026-10-04T07:30:05Z',
    '2026-10-04T24:00:00.000Z',
  ),
  fc.constantFrom('0000-01-01T00:00:00.000Z', '9999-12-31T23:59:59.999Z', '2026-10-04T07:30:05.120+00:00', '\n'),
);
const odd = (field: string, value: fc.Arbitrary<unknown>) => value.map((it) => [field, it] as const);
/** A sighting of which a field or two may be odd or missing, and which may have one field more. */
const nearlySound = fc
  .array(
    fc.oneof(
      ...['observer', 'device', 'checkpoint'].map((field) => odd(field, oddText)),
      odd('bib', fc.option(oddText, { freq: 2 })),
      ...['madeAt', 'observedAt'].map((field) => odd(field, oddInstant)),
      odd('seq', fc.oneof(fc.integer({ min: -1, max: 2 }), fc.maxSafeInteger(), fc.double(), fc.constant('1'))),
      odd('left', fc.constantFrom('rearfoot', 'midfoot', 'forefoot', 'unseen', 'asymmetric', null)),
      odd('method', fc.constantFrom('live', 'clip', 'ruling')),
      odd('gait', fc.constantFrom('run', 'walk')),
      odd('note', oddText),
      odd('id', fc.oneof(fc.uuid({ version: 7 }), fc.uuid(), fc.constant('01920000-0000-7000-8000-00000000000A'))),
      odd('race', fc.oneof(fc.uuid({ version: 4 }), fc.constant('3f0f9a52-6c1e-4b0a-cd53-0c6a5f3b2a11'))),
      odd('surplus', fc.constant(1)),
      fc.constantFrom(...Object.keys(sound)).map((field) => [field, undefined] as const),
    ),
    { maxLength: 2 },
  )
  .map((changes) => ({ ...sound, ...Object.fromEntries(changes) }))
  // What comes from JSON has no undefined fields.
  .map((value) => Object.fromEntries(Object.entries(value).filter(([, it]) => it !== undefined)));

test('takes nothing that the schema would not, and writes the same line', () => {
  let plainOnes = 0;
  fc.assert(
    fc.property(nearlySound, (value) => {
      const text = `[${JSON.stringify(value)}]`;
      const plain = plainSightingAt(text, 1);
      const head = plainSightingHeadAt(text, 1);
      expect(head === null).toBe(plain === null);
      if (!plain) return;
      expect(head?.line).toBe(plain.line);
      expect(plain.record).toMatchObject(head?.record ?? {});
      plainOnes += 1;
      const parsed = v.parse(recordSchema, value);
      expect(plain.line).toBe(recordLine(parsed));
      expect(plain.record).toEqual(parsed);
    }),
    { numRuns: 20_000 },
  );
  // Some 9,500 at random: enough of both kinds.
  expect(plainOnes).toBeGreaterThan(6_000);
});

test('takes the sightings that tablets make', () => {
  const line = JSON.stringify(sound);
  expect(plainSightingAt(`0123${line},`, 4)).toEqual({ record: sound, line });
  expect(plainSightingAt(line, 1)).toBeNull();
  expect(plainSightingAt(JSON.stringify({ ...sound, bib: null }), 0)?.record.bib).toBeNull();
  // In the canonical order alone.
  const reversed = Object.fromEntries(Object.entries(sound).reverse());
  expect(plainSightingAt(JSON.stringify(reversed), 0)).toBeNull();
});
