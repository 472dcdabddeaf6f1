// A race through the night in which summer time ends. Central European summer time ended on 25 October 2026 at 01:00 UTC
// (directive 2000/84/EC: the last Sunday in October, 01:00 UTC): the hour from 02:00 to 03:00 on the wall came twice.
import { expect, test } from 'vitest';
import { checkRace } from '../../src/lib/check/check-race.ts';
import { inputOfRecords } from '../../src/lib/check/input/input-of-records.ts';
import type { Race } from '../../src/lib/race/race.ts';
import type { Sighting } from '../../src/lib/records/record.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';

const NIGHT = { start: '2026-10-24T22:30:00.000Z', timeZone: 'Europe/Berlin', date: '2026-10-25' };
const ANY_DAY = { start: '2026-10-21T22:30:00.000Z', timeZone: 'Europe/Berlin', date: '2026-10-22' };

function raceOn({ start, timeZone, date }: typeof NIGHT) {
  const checkpoints = [
    { id: 'a', name: 'Old Pier', km: 10 },
    { id: 'b', name: 'Quarry Hill', km: 25 },
  ];
  const race: Race = {
    ...{ id: '5e0f9a52-6c1e-4b0a-9d53-00000000d570', name: 'Owl Thirty', km: 30, start, timeZone, date, checkpoints },
    observers: checkpoints.map(({ id }) => ({ code: id.toUpperCase(), checkpoint: id, side: 'left' as const })),
  };
  const seq = new Map<string, number>();
  const records = Array.from({ length: 60 }, (_, i) => checkpoints.map(({ id, km }) => ({ i, id, km })))
    .flat()
    .map(({ i, id, km }) => ({
      i,
      id,
      seconds: Math.round(km * (300 + 2 * i) * (id === 'a' ? 1 : 1.03 + (i % 5) / 200)),
    }))
    .sort((a, b) => a.seconds - b.seconds)
    .map(({ i, id, seconds }, n): Sighting => {
      seq.set(id, (seq.get(id) ?? 0) + 1);
      const at = new Date(Date.parse(start) + seconds * 1000).toISOString();
      return {
        ...{ id: `01920000-0000-7000-8000-${String(n).padStart(12, '0')}`, kind: 'sighting', race: race.id },
        ...{ observer: id.toUpperCase(), device: `tab-${id}`, seq: seq.get(id) ?? 0, madeAt: at, observedAt: at },
        ...{ checkpoint: id, bib: String(200 + 100 * i), left: 'rearfoot', right: 'rearfoot', method: 'live' },
      };
    });
  return { race, records };
}

function check(night: typeof NIGHT) {
  const { race, records } = raceOn(night);
  const lists = { startList: records.map(({ bib }) => ({ bib: bib ?? '' })), results: [] };
  return checkRace(inputOfRecords(viewOfRace(race, records), lists));
}

test('the night in which the clocks go back gives no doubt that another night does not', () => {
  const { records } = raceOn(NIGHT);
  const before = records.filter(({ observedAt }) => observedAt < '2026-10-25T01:00:00.000Z').length;
  expect(before).toBeGreaterThan(20);
  expect(records.length - before).toBeGreaterThan(20);
  expect(check(NIGHT)).toEqual(check(ANY_DAY));
  expect(check(NIGHT)).toEqual([]);
});
