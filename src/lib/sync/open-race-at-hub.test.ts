import { describe, expect, it } from 'vitest';
import { FakeClock } from '../../../tests/helpers/fake-clock.ts';
import { FAIR, FakeHub, fault, networkTo, type Weather } from '../../../tests/helpers/hub/fake-hub.ts';
import { MemoryLinkStore } from '../../../tests/helpers/hub/memory-link-store.ts';
import { RACE_ID } from '../../../tests/helpers/records/record-arbitraries.ts';
import type { Race } from '../race/race.ts';
import { openRaceAtHub } from './open-race-at-hub.ts';

const race: Race = {
  id: RACE_ID,
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
};

/** A lead's device with the race, and a hub that has it or not. */
function scene({ atHub }: { atHub: Race | null }) {
  const clock = new FakeClock(Date.UTC(2026, 9, 4, 7, 30));
  const hub = new FakeHub(atHub ?? race, clock);
  hub.isOpen = atHub !== null;
  const store = new MemoryLinkStore(() => 'lead-1');
  store.put(race);
  const weather: { now: Weather } = { now: FAIR };
  const random = () => 0.5;
  const surroundings = {
    ...{ fetch: networkTo(hub, clock, random, () => weather.now), now: clock.now, random, setTimer: clock.setTimer },
    randomBytes: (into: Uint8Array<ArrayBuffer>) => into.fill(7),
  };
  const open = (key = hub.organiserKey, raceId = RACE_ID) => openRaceAtHub(store, surroundings, raceId, key);
  const untouched = () => {
    expect(store.races.get(RACE_ID)).toEqual({ race, changedHere: false });
    expect([store.links.size, store.organiserKey, store.requeued]).toEqual([0, '', []]);
  };
  return { hub, store, weather, open, untouched };
}

describe('openRace', () => {
  it('takes the set-up to the hub and links the device to it as the organiser', async () => {
    const { hub, store, open } = scene({ atHub: null });
    expect(await open()).toEqual({ ok: true, value: undefined });
    expect([hub.isOpen, hub.race]).toEqual([true, { ...race, revision: 1 }]);
    expect(store.races.get(RACE_ID)?.race).toEqual({ ...race, revision: 1 });
    expect(store.links.get(RACE_ID)).toEqual({
      ...{ race: RACE_ID, role: 'organiser', token: hub.organiserKey, bringPulled: true },
    });
    expect([store.organiserKey, store.requeued]).toEqual([hub.organiserKey, [RACE_ID]]);
  });

  it('does so again without harm', async () => {
    const { hub, store, open } = scene({ atHub: null });
    await open();
    const after = store.races.get(RACE_ID);
    expect((await open()).ok).toBe(true);
    expect([hub.race.revision, store.races.get(RACE_ID)]).toEqual([1, after]);
  });

  it('links the device to a race that differs at the hub and changes neither side', async () => {
    const there = { ...race, name: 'Alder 10' };
    const { hub, store, open } = scene({ atHub: there });
    expect((await open()).ok).toBe(true);
    expect(hub.race.name).toBe('Alder 10');
    // Marked as changed here, at no revision of the hub: the exchange asks a person.
    expect(store.races.get(RACE_ID)).toEqual({ race, changedHere: true });
    expect(store.links.get(RACE_ID)?.role).toBe('organiser');
  });

  it('changes nothing on the device when the key is wrong or no answer comes', async () => {
    const { weather, open, untouched } = scene({ atHub: null });
    expect(await open('a wrong key')).toMatchObject({ ok: false, error: { type: 'refused', status: 401 } });
    untouched();
    weather.now = { ...FAIR, dropCall: 1 };
    expect(await open()).toEqual({ ok: false, error: { type: 'no-network' } });
    untouched();
  });

  it('changes nothing when the race that is there cannot be read', async () => {
    const { hub, open, untouched } = scene({ atHub: { ...race, name: 'Alder 10' } });
    hub.instead = (method) => (method === 'GET' ? fault(503, 'unavailable') : undefined);
    expect(await open()).toMatchObject({ ok: false, error: { type: 'hub-failing' } });
    untouched();
  });

  it('says that the device is full, and that a race is not here', async () => {
    const { store, open } = scene({ atHub: null });
    store.full = true;
    expect(await open()).toMatchObject({ ok: false, error: { type: 'storageFull' } });
    expect(await open(undefined, 'no-such-race')).toMatchObject({ ok: false });
  });
});
