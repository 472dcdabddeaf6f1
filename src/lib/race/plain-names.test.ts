import * as v from 'valibot';
import { expect, test } from 'vitest';
import { readHandoffFiles, writeHandoff } from '../tables/handoff-file.ts';
import { startListSchema } from '../wire/wire.ts';
import { jsonWithPlainNames } from './plain-names.ts';
import { raceSchema, type Race } from './race.ts';

const race: Race = {
  id: '7d0c2f7e-55aa-4a39-9c5e-2d9d3f0b6c01',
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'a', name: 'Mill', km: 5 }],
};

test.each(['\n', '\u0007', '\u009b', '\u202e', '\u2028', '\ud800'])(
  'names with %j are refused where they are entered',
  (odd) => {
    expect(v.is(raceSchema, { ...race, name: `Alder${odd}Ten` })).toBe(false);
    expect(v.is(raceSchema, { ...race, checkpoints: [{ id: 'a', name: `Mill${odd}`, km: 5 }] })).toBe(false);
    for (const field of ['name', 'team', 'sex']) {
      expect(v.is(startListSchema, { revision: 0, rows: [{ bib: '1', [field]: `a${odd}b` }] })).toBe(false);
    }
  },
);

test('a set-up that was stored with such names reads on, each such character a blank', async () => {
  const old = { ...race, name: 'Alder\nTen', checkpoints: [{ id: 'a', name: '\u001b[1mMill "N"', km: 5 }] };
  const setup = JSON.stringify(old);
  expect(v.parse(raceSchema, JSON.parse(jsonWithPlainNames(setup)))).toMatchObject({
    name: 'Alder Ten',
    checkpoints: [{ name: ' [1mMill "N"' }],
  });
  const chunks = [new TextEncoder().encode([...writeHandoff(old, [])].join(''))];
  const read = await readHandoffFiles([{ name: 'old', chunks }]);
  expect(read.ok && read.value.race.name).toBe('Alder Ten');
  const plain = JSON.stringify(race);
  expect(jsonWithPlainNames(plain)).toBe(plain);
});
