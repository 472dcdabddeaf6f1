import { describe, expect, it } from 'vitest';
import { fault } from '../../../tests/helpers/hub/fake-hub.ts';
import { MINUTE, race, scene } from '../../../tests/helpers/hub/sync-scene.ts';

describe('RaceSync and the set-up', () => {
  it('brings changes at the hub to the tablets', async () => {
    const { clock, hub, store, sync } = scene();
    sync.start();
    await clock.advance(1000);
    expect(store.race.local).toMatchObject({ revision: 1, changedHere: false });
    hub.race = { ...hub.race, name: 'Alder Ten, new course', revision: 2 };
    hub.startlist = { revision: 1, rows: [{ bib: '7' }] };
    sync.sendNow();
    await clock.advance(1000);
    expect(store.race.local).toMatchObject({ revision: 2, value: { name: 'Alder Ten, new course' } });
    expect(store.startlist.local).toEqual({ value: [{ bib: '7' }], revision: 1, changedHere: false });
    expect(hub.calls).not.toContain('GET /results');
  });

  it("hands in the lead's changes", async () => {
    const { clock, hub, store, sync } = scene({ role: 'organiser' });
    sync.start();
    await clock.advance(1000);
    store.race.change({ ...store.race.local.value, name: 'Alder Eleven' });
    store.startlist.change([{ bib: '7', name: 'Invented Runner' }]);
    store.results.change([{ bib: '7', finish: 3600 }]);
    sync.setUpChanged();
    await clock.advance(1000);
    expect(hub.race).toMatchObject({ name: 'Alder Eleven', revision: 2 });
    expect(hub.startlist.rows).toEqual([{ bib: '7', name: 'Invented Runner' }]);
    expect(hub.results.rows).toEqual([{ bib: '7', finish: 3600 }]);
    expect(store.race.local).toMatchObject({ revision: 2, changedHere: false });
    expect(sync.state.conflicts).toEqual([]);
  });

  it.each(['mine', 'theirs'] as const)('lets the lead choose when two edited at once: %s', async (choice) => {
    const { clock, hub, store, sync } = scene({ role: 'organiser' });
    sync.start();
    await clock.advance(1000);
    store.race.change({ ...store.race.local.value, name: 'Mine' });
    hub.race = { ...hub.race, name: 'Theirs', revision: 2 };
    sync.setUpChanged();
    await clock.advance(10 * MINUTE);
    expect(sync.state.conflicts).toMatchObject([
      { what: 'race', mine: { name: 'Mine' }, theirs: { name: 'Theirs' }, canKeepMine: true },
    ]);
    expect(hub.race.name).toBe('Theirs');
    expect(store.race.local.value.name).toBe('Mine');
    sync.choose('race', choice);
    await clock.advance(1000);
    const stands = choice === 'mine' ? 'Mine' : 'Theirs';
    expect(hub.race.name).toBe(stands);
    expect(store.race.local).toMatchObject({ value: { name: stands }, changedHere: false });
    expect(sync.state.conflicts).toEqual([]);
  });

  it('does not ask when both made the same change', async () => {
    const { clock, hub, store, sync } = scene({ role: 'organiser' });
    sync.start();
    await clock.advance(1000);
    store.startlist.change([{ bib: '7' }]);
    hub.startlist = { revision: 1, rows: [{ bib: '7' }] };
    sync.setUpChanged();
    await clock.advance(1000);
    expect(sync.state.conflicts).toEqual([]);
    expect(store.startlist.local).toMatchObject({ revision: 1, changedHere: false });
  });

  it('goes on handing in records while the hub refuses a change of the set-up', async () => {
    const { clock, hub, store, sync, tally } = scene({ role: 'organiser' });
    sync.start();
    await clock.advance(1000);
    hub.instead = (method) => (method === 'PUT' ? fault(409, 'checkpoint-has-records') : undefined);
    store.race.change({ ...store.race.local.value, name: 'Mine' });
    sync.setUpChanged();
    tally(3);
    await clock.advance(1000);
    expect(sync.state.setUpRefused).toBe('says checkpoint-has-records');
    expect(hub.log).toHaveLength(3);
    expect(store.race.local.changedHere).toBe(true);
  });

  it('does not throw away what an observer changed: a person decides', async () => {
    const { clock, hub, store, sync } = scene();
    store.race.change({ ...race, name: 'Mine' });
    sync.start();
    await clock.advance(1000);
    expect(sync.state.conflicts).toMatchObject([{ what: 'race', canKeepMine: false }]);
    expect(store.race.local.value.name).toBe('Mine');
    sync.choose('race', 'theirs');
    await clock.advance(1000);
    expect(store.race.local.value.name).toBe(hub.race.name);
  });
});
