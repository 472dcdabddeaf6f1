import type { Race } from '../../../src/lib/race/race.ts';
import type { Sighting } from '../../../src/lib/records/record.ts';
import type { HubLink } from '../../../src/lib/store/database.ts';
import { RaceSync } from '../../../src/lib/sync/race-sync.ts';
import { FakeClock } from '../fake-clock.ts';
import { FAIR, FakeHub, networkTo, type Weather } from './fake-hub.ts';
import { MemoryExchangeStore } from './memory-exchange-store.ts';
import { RACE_ID, recordId } from '../records/record-arbitraries.ts';
import { seededRandom } from '../seeded-random.mjs';

/** When a scene begins, milliseconds since 1970. */
export const START = Date.UTC(2026, 9, 4, 7, 30);
export const MINUTE = 60_000;
/** The race as the hub has it in the beginning. */
export const race: Race = {
  id: RACE_ID,
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
};

let nextId = 0;
/** A sighting of `device` with an id that nothing else in the run has. */
export function sighting(seq: number, device: string, fields: Partial<Sighting> = {}): Sighting {
  nextId += 1;
  return {
    ...{ id: recordId(nextId), kind: 'sighting', race: RACE_ID, observer: 'A', device, seq },
    ...{ madeAt: '2026-10-04T07:30:00.000Z', checkpoint: 'k5', bib: String(seq), left: 'rearfoot', right: 'rearfoot' },
    ...{ method: 'live', observedAt: '2026-10-04T07:30:00.000Z' },
    ...fields,
  };
}

/**
 * An invented hub, a network to it whose weather changes, and tablets; the first, `tablet-1`, has made `count` sightings. Time
 * passes only when `clock` is moved on.
 */
export function scene({ role = 'observer' as HubLink['role'], seed = 1, count = 0 } = {}) {
  const clock = new FakeClock(START);
  const random = seededRandom(seed);
  const hub = new FakeHub(race, clock);
  const weather: { now: Weather } = { now: FAIR };
  const fetch = networkTo(hub, clock, random, () => weather.now);
  const tablet = (name: string, as = role) => {
    const store = new MemoryExchangeStore(race, as);
    const sync = new RaceSync(store, {
      ...{ fetch, now: clock.now, random, setTimer: clock.setTimer },
      randomBytes: (bytes) => bytes.fill(7),
    });
    const tally = (more: number) => {
      for (let i = 0; i < more; i += 1) store.add(sighting(store.own.length + 1, name));
      sync.recordsChanged();
    };
    return { store, sync, tally };
  };
  const first = tablet('tablet-1');
  first.tally(count);
  return { clock, hub, weather, tablet, ...first };
}
