import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { analyse } from '../analyse.ts';
import { tableOfFile } from '../../../../tests/helpers/findings/reference-cases.ts';
import { signedPoints } from '../../words/numbers.ts';
import { correctedRace, correctedRacesTable } from './corrected-races.ts';

const CASE = new URL('../../../../tests/reference/cases-corrected/double/', import.meta.url);

// Figures of R: the expected file beside the case.
it('sets each race’s corrected change beside the called one', () => {
  const { corrected } = analyse(tableOfFile(readFileSync(new URL('sightings.csv', CASE))), null);
  const expected = JSON.parse(readFileSync(new URL('expected.json', CASE), 'utf8')) as {
    corrected: { validation: { difference: { paired: number; corrected: { difference: number } } } };
  };
  const { paired, corrected: change } = expected.corrected.validation.difference;
  const race = correctedRace('Lock Run', corrected)!;
  expect(race).toMatchObject({ race: 'Lock Run', by: 'clip', paired });
  const [row] = correctedRacesTable([race], 0.95).rows;
  expect(row!.slice(0, 2)).toEqual(['Lock Run', String(paired)]);
  expect(row![3]).toBe(signedPoints(change.difference));
  expect(correctedRace('x', null)).toBeNull();
});
