import { expect, test } from 'vitest';
import type { RaceCounts } from './race-counts.ts';
import { racesGivenTwice } from './races-given-twice.ts';

const race = (name: string, identity: string | null, classified: number): RaceCounts => ({
  ...{ race: name, identity, early: 'Ford', earlyKm: 5, late: 'Mill', lateKm: 20, classified, rearfoot: 0 },
  ...{ paired: 0, gained: 0, lost: 0, trend: null, commonObservers: 1 },
});

test('of a race that came many times some names and the number are said', () => {
  const many = Array.from({ length: 200 }, (_, i) => race(`race ${i + 1}`, null, 60));
  expect(racesGivenTwice(many)).toEqual([
    'Perhaps one race twice, as every count is the same: race 1, race 2, race 3, race 4, race 5 and 195 more.',
  ]);
});

test('one race under two names is said, by name and date or by its counts; races without counts are not', () => {
  expect(
    racesGivenTwice([
      race('spring', 'Ford Ten, 2031-03-02', 60),
      race('from another tablet', 'Ford Ten, 2031-03-02', 61),
      race('spring next year', 'Ford Ten, 2032-03-07', 62),
      race('summer', null, 80),
      race('summer (2)', null, 80),
      race('empty', null, 0),
      race('empty too', null, 0),
    ]),
  ).toEqual([
    'Perhaps one race twice, as name and date are the same: spring and from another tablet.',
    'Perhaps one race twice, as every count is the same: summer and summer (2).',
  ]);
});
