import * as v from 'valibot';
import { expect, test } from 'vitest';
import { plainIssue } from '../records/plain-issue.ts';
import { raceSchema } from '../race/race.ts';
import { resultsSchema, startListSchema } from './wire.ts';

const faultOf = (schema: v.GenericSchema, value: unknown) =>
  v.safeParse(schema, value, { abortEarly: true }).issues?.map(plainIssue);

const race = {
  id: '0b4a1c52-8f0e-4b7a-9d0c-3a5e5b1c2d41',
  name: 'Mill Valley Ten (invented)',
  date: '2028-02-29',
  checkpoints: [{ id: 'early', name: 'Mill Bridge', km: 3 }],
};

test.each(['2026-02-29', '2026-04-31', '2026-13-01', '4.10.2026', '2026-10-4', ''])(
  'a race on "%s" is refused',
  (date) => {
    expect(faultOf(raceSchema, race)).toBeUndefined();
    expect(faultOf(raceSchema, { ...race, date })).toEqual(['date: expected a date that exists, such as 2026-10-04']);
  },
);

test.each([
  ['start list', startListSchema],
  ['results', resultsSchema],
])('a bib has one row in the %s; 7 and 007 are two bibs', (_, schema) => {
  expect(faultOf(schema, { revision: 0, rows: [{ bib: '7' }, { bib: '007' }] })).toBeUndefined();
  expect(faultOf(schema, { revision: 0, rows: [{ bib: '7' }, { bib: '8' }, { bib: '7' }] })).toEqual([
    'rows: bib 7 is there twice',
  ]);
});

test('an unpaired surrogate is no bib: files would turn two such bibs into one', () => {
  expect(faultOf(startListSchema, { revision: 0, rows: [{ bib: '\ud800' }] })).toEqual([
    'rows.0.bib: bib has an unpaired surrogate',
  ]);
});
