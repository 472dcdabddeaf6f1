import { describe, expect, it } from 'vitest';
import { FakeClock } from '../../../tests/helpers/fake-clock.ts';
import { FAIR, FakeHub, networkTo, type Weather } from '../../../tests/helpers/hub/fake-hub.ts';
import { MemoryLinkStore } from '../../../tests/helpers/hub/memory-link-store.ts';
import { RACE_ID } from '../../../tests/helpers/records/record-arbitraries.ts';
import type { Race } from '../race/race.ts';
import { joinRace } from './join-race.ts';

const race: Race = {
  id: RACE_ID,
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
};
const otherRace: Race = { ...race, id: RACE_ID.replace(/^.{8}/, '0fedcba9'), name: 'Birch Mile' };

/** A tablet and a hub that has the race, and how to join. */
function scene() {
  const clock = new FakeClock(Date.UTC(2026, 9, 4, 7, 30));
  const hub = new FakeHub(race, clock);
  let made = 0;
  const store = new MemoryLinkStore(() => `made-${(made += 1)}`);
  const weather: { now: Weather } = { now: FAIR };
  const random = () => 0.5;
  let bytes = 0;
  const surroundings = {
    ...{ fetch: networkTo(hub, clock, random, () => weather.now), now: clock.now, random, setTimer: clock.setTimer },
    randomBytes: (into: Uint8Array<ArrayBuffer>) => into.fill((bytes += 1)),
  };
  const join = async (code = hub.code, raceId?: string) => {
    const joining = joinRace(store, surroundings, code, raceId);
    await clock.advance(120_000);
    return joining;
  };
  return { clock, hub, store, weather, join };
}

describe('joinRace', () => {
  it('lets a new tablet in and keeps set-up, name and token', async () => {
    const { hub, store, join } = scene();
    expect(await join()).toEqual({ ok: true, value: { raceId: RACE_ID, role: 'observer' } });
    const [[device, token] = []] = hub.tokens;
    expect(store.names.get(RACE_ID)).toBe(device);
    expect(store.links.get(RACE_ID)).toEqual({ race: RACE_ID, role: 'observer', token });
    expect(token).toMatch(/^[A-Za-z0-9_-]{22}$/);
    expect(store.races.get(RACE_ID)).toEqual({ race: hub.race, changedHere: false });
    expect(store.requeued).toEqual([RACE_ID]);
  });

  it('joins as one device when answers are lost on the way', async () => {
    const { hub, store, join, weather } = scene();
    hub.instead = () => {
      // The answer to the call after the first is lost as well, that to the third is not.
      if (hub.calls.length === 2) weather.now = FAIR;
      return undefined;
    };
    weather.now = { ...FAIR, dropAnswer: 1 };
    expect((await join()).ok).toBe(true);
    expect(hub.calls).toHaveLength(3);
    expect([...hub.tokens.values()]).toEqual([store.links.get(RACE_ID)?.token]);
  });

  it('changes nothing on the device when no answer comes or the code is wrong', async () => {
    const { hub, store, join, weather } = scene();
    weather.now = { ...FAIR, dropCall: 1 };
    expect(await join()).toEqual({ ok: false, error: { type: 'no-network' } });
    weather.now = FAIR;
    expect(await join('XXX-XXXX-XXX')).toMatchObject({ ok: false, error: { type: 'refused', status: 401 } });
    expect(hub.tokens.size).toBe(0);
    for (const kept of [store.races, store.names, store.links]) expect(kept.size).toBe(0);
    expect(store.requeued).toEqual([]);
  });

  it('goes on under the name and the token that the hub knows it by', async () => {
    const { hub, store, join } = scene();
    await join();
    const before = [...hub.tokens];
    store.requeued.length = 0;
    expect((await join(hub.code, RACE_ID)).ok).toBe(true);
    expect([...hub.tokens]).toEqual(before);
    expect(store.links.get(RACE_ID)?.token).toBe(before[0]?.[1]);
    expect(store.requeued).toEqual([RACE_ID]);
  });

  it('joins under the name that its records carry, and leaves no other name at the hub', async () => {
    const { hub, store, join } = scene();
    // The race came by file; another one was opened last.
    store.put(race);
    store.names.set(RACE_ID, 'name-of-records');
    store.put(otherRace);
    expect((await join()).ok).toBe(true);
    expect([...hub.tokens]).toEqual([['name-of-records', store.links.get(RACE_ID)?.token]]);
    expect(store.names.get(RACE_ID)).toBe('name-of-records');
    // Again, now that the hub knows the name: it shows the token that belongs to it.
    store.put(otherRace);
    expect((await join()).ok).toBe(true);
    expect([...hub.tokens]).toEqual([['name-of-records', store.links.get(RACE_ID)?.token]]);
  });

  it('never sends the organiser key as a device’s token', async () => {
    const { hub, store, join } = scene();
    store.put(race);
    store.names.set(RACE_ID, 'name-of-records');
    store.links.set(RACE_ID, { race: RACE_ID, role: 'organiser', token: hub.organiserKey });
    store.put(otherRace);
    expect((await join()).ok).toBe(true);
    expect(hub.tokens.get('name-of-records')).not.toBe(hub.organiserKey);
    expect(store.links.get(RACE_ID)).toMatchObject({ role: 'observer', token: hub.tokens.get('name-of-records') });
  });

  it('comes back to a hub it has left by the token that it kept', async () => {
    const { hub, store, join } = scene();
    await join();
    const before = [...hub.tokens];
    store.leftTokens.set(RACE_ID, store.links.get(RACE_ID)!.token);
    store.links.clear();
    expect((await join(hub.code, RACE_ID)).ok).toBe(true);
    expect([...hub.tokens]).toEqual(before);
    // Without it the hub does not let in a device that it knows.
    store.leftTokens.clear();
    store.links.clear();
    expect(await join(hub.code, RACE_ID)).toMatchObject({ ok: false, error: { type: 'refused', status: 409 } });
  });

  it('leaves a set-up alone that was changed here: a person is to choose', async () => {
    const { store, join } = scene();
    const changed = { ...race, name: 'Alder Eleven' };
    store.put(changed, true);
    expect((await join(undefined, RACE_ID)).ok).toBe(true);
    expect(store.races.get(RACE_ID)).toEqual({ race: changed, changedHere: true });
  });

  it('says that the device is full', async () => {
    const { store, join } = scene();
    store.full = true;
    expect(await join()).toMatchObject({ ok: false, error: { type: 'storageFull' } });
  });
});
