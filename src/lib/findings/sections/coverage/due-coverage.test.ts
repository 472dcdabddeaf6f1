import { expect, test } from 'vitest';
import { analyse } from '../../analyse.ts';
import { fieldOf } from '../../field.ts';
import { resolveRace } from '../../resolved-race.ts';
import { plain } from '../../sentences/sentences-parts.ts';
import { SightingsReader } from '../../../tables/sightings/sightings-reader.ts';
import { dueCoverage } from './due-coverage.ts';
import { dueWords } from './due-words.ts';

const HEAD = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note\n';
const rows = ['13', '23', '107', '14'].map(
  (bib, i) => `r${String(i)},R,Weir,5,${bib},rearfoot,rearfoot,A,live,2026-10-04T09:1${String(i)}:00Z,\n`,
);

function tableOf(csv: string) {
  const reader = new SightingsReader();
  reader.push(new TextEncoder().encode(csv));
  const read = reader.finish();
  if (!read.ok) throw new Error('the test’s table is at fault');
  return read.value.table;
}

test('counts who was due by bib endings, and who was classified though not due', () => {
  const table = tableOf(HEAD + rows.join(''));
  expect(analyse(table, null, {}).shares[0]!.classified).toBe(4);
  const race = resolveRace(table, 'exclude');
  const rule = { kind: 'endings' as const, endings: ['3', '07'] };
  const results = ['13', '23', '33', '107', '14', '15'].map((bib, i) => ({ bib, finish: 3000 + i }));
  const field = fieldOf(results, table.bibs);
  const due = dueCoverage(race, field, rule)!;
  expect(due).toMatchObject({ finishers: 4, places: [{ checkpoint: 'Weir', due: 3, notDue: 1 }] });
  expect(dueWords(due, ['Weir']).map(plain)).toEqual([
    'Of the 4 finishers whose bib ends in 3 or 07, the runners who were due, 3 were classified at Weir; besides them 1 runner who was not due.',
  ]);
  expect(dueCoverage(race, null, rule)!.finishers).toBeNull();
  expect(dueCoverage(race, field, { kind: 'everyone' })).toBeNull();
});
