import { expect, test } from 'vitest';
import type { TallyRecord } from '../../../records/record.ts';
import { handoffName } from './handoff-name.ts';

const race = {
  ...{ id: 'r', name: 'Älder  Ten!', date: '2026-10-04' },
  checkpoints: [
    { id: 'a', name: 'Mill Bridge', km: 5 },
    { id: 'b', name: 'Weir', km: 9 },
  ],
};
const seen = (checkpoint: string, observer = 'N4') => ({ kind: 'sighting', checkpoint, observer }) as TallyRecord;
const at = new Date(2026, 9, 4, 7, 31, 5).getTime();

test.each<[TallyRecord[], string]>([
  [[seen('a')], 'alder-ten-2026-10-04-mill-bridge-n4-3f2a-073105'],
  [[seen('a'), seen('b', 'K1')], 'alder-ten-2026-10-04-2-checkpoints-2-observers-3f2a-073105'],
  [[], 'alder-ten-2026-10-04-3f2a-073105'],
])('race, day, checkpoint, observer, device and time', (records, name) => {
  expect(handoffName(race, records, '01920000-0000-7000-8000-000000003f2a', at)).toBe(name);
});
