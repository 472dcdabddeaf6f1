import * as v from 'valibot';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordLine } from '../domain/canonical-record.ts';
import { recordSchema } from '../domain/record.ts';
import { plainSightingLine } from './plain-sighting.ts';

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
/** A sighting of which any field may be odd or missing, and which may have one field more. */
const nearlySound = fc
  .record({
    fields: fc.record(
      {
        observer: oddText,
        device: oddText,
        checkpoint: oddText,
        bib: fc.option(oddText),
        seq: fc.oneof(fc.maxSafeInteger(), fc.double(), fc.string({ maxLength: 3 })),
        madeAt: oddInstant,
        observedAt: oddInstant,
        left: fc.constantFrom('rearfoot', 'midfoot', 'forefoot', 'unseen', 'asymmetric', null),
        method: fc.constantFrom('live', 'clip', 'ruling'),
        gait: fc.constantFrom('run', 'walk'),
        note: oddText,
        id: fc.oneof(fc.uuid({ version: 7 }), fc.uuid(), fc.constant('01920000-0000-7000-8000-00000000000A')),
        surplus: fc.constant(1),
      },
      { requiredKeys: [] },
    ),
    without: fc.option(fc.constantFrom(...Object.keys(sound))),
  })
  .map(({ fields, without }) =>
    Object.fromEntries(Object.entries({ ...sound, ...fields }).filter(([key]) => key !== without)),
  );

test('takes nothing that the schema would not, and writes the same line', () => {
  fc.assert(
    fc.property(nearlySound, (value) => {
      const plain = plainSightingLine(value);
      if (!plain) return;
      const parsed = v.parse(recordSchema, value);
      expect(plain.line).toBe(recordLine(parsed));
    }),
    { numRuns: 20_000 },
  );
});

test('takes the sightings that tablets make', () => {
  expect(plainSightingLine(sound)?.line).toBe(JSON.stringify(sound));
  expect(plainSightingLine({ ...sound, bib: null })?.line).toContain('"bib":null');
});
