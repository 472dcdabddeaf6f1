import { expect, test } from 'vitest';
import type { Race } from '../race/race.ts';
import type { Foot } from '../records/foot.ts';
import type { TallyRecord } from '../records/record.ts';
import { viewOfRace } from '../sightings/race-view.ts';
import { keyOfRace } from './key-of-race.ts';

const race: Race = {
  id: '0b9a3f1e-55d1-4f0e-9a55-1f0c7f6f7a11',
  ...{ name: 'Quarry Ten (invented)', date: '2031-05-03' },
  checkpoints: [
    { id: 'weir', name: 'Weir', km: 4 },
    { id: 'ford', name: 'Ford', km: 12 },
  ],
};

let made = 0;
const common = (observer: string) => {
  made += 1;
  const id = `0197b2f0-0000-7000-8000-${String(made).padStart(12, '0')}`;
  const madeAt = `2031-05-04T08:${String(made).padStart(2, '0')}:00.000Z`;
  return { id, race: race.id, observer, device: 'laptop', seq: made, madeAt };
};
const review = (observer: string, bib: string, left: Foot, right: Foot, change: object = {}): TallyRecord =>
  ({
    ...common(observer),
    ...{ kind: 'sighting', checkpoint: 'weir', bib, left, right, method: 'clip' },
    ...{ observedAt: '2031-05-03T09:00:00.000Z', ...change },
  }) as TallyRecord;
const ruling = (bib: string, left: Foot, right: Foot): TallyRecord =>
  ({ ...common('Lead'), kind: 'ruling', checkpoint: 'weir', bib, left, right }) as TallyRecord;

test('a foot is in the key where two reviewed it and agree, or a ruling says it', () => {
  const records = [
    // Agreed on both; agreed on the left alone; not agreed; one reviewer, twice; live calls are none.
    ...[review('A', '7', 'rearfoot', 'midfoot'), review('B', '7', 'rearfoot', 'midfoot')],
    ...[review('A', '12', 'forefoot', 'rearfoot'), review('B', '12', 'forefoot', 'unseen')],
    ...[review('A', '15', 'forefoot', 'rearfoot'), review('B', '15', 'rearfoot', 'midfoot')],
    ...[review('A', '20', 'rearfoot', 'rearfoot'), review('A', '20', 'rearfoot', 'rearfoot')],
    ...[review('A', '21', 'rearfoot', 'rearfoot', { method: 'live' }), review('B', '21', 'rearfoot', 'rearfoot')],
    // The later ruling stands over what the reviews say.
    ...[review('A', '30', 'rearfoot', 'rearfoot'), review('B', '30', 'rearfoot', 'rearfoot')],
    ...[ruling('30', 'rearfoot', 'midfoot'), ruling('30', 'midfoot', 'unseen')],
    // Another checkpoint.
    ...['A', 'B'].map((who) => review(who, '40', 'rearfoot', 'rearfoot', { checkpoint: 'ford' })),
  ];
  const view = viewOfRace(race, records);
  expect(keyOfRace(view, 'weir')).toEqual([
    { item: '12', keyLeft: 'forefoot', keyRight: null },
    { item: '30', keyLeft: 'midfoot', keyRight: null },
    { item: '7', keyLeft: 'rearfoot', keyRight: 'midfoot' },
  ]);
  expect(keyOfRace(view, 'ford')).toEqual([{ item: '40', keyLeft: 'rearfoot', keyRight: 'rearfoot' }]);
  expect(keyOfRace(viewOfRace(race, []), 'weir')).toEqual([]);
});
