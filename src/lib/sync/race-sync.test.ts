import { describe, expect, it } from 'vitest';
import { FAIR, fault, type Weather } from '../../../tests/helpers/hub/fake-hub.ts';
import { MINUTE, race, scene, sighting, START } from '../../../tests/helpers/hub/sync-scene.ts';

const NO_NETWORK: Weather = { ...FAIR, dropCall: 1 };

describe('RaceSync', () => {
  it('hands in what waits, in batches of 1,000, and what comes later', async () => {
    const { clock, hub, store, sync, tally } = scene({ count: 2500 });
    sync.start();
    await clock.advance(100);
    expect(hub.calls.filter((call) => call === 'POST /records')).toHaveLength(3);
    tally(3);
    await clock.advance(1000);
    expect(hub.log).toEqual(store.own.map((row) => row.record));
    expect(await store.counts()).toMatchObject({ waiting: 0 });
    expect(sync.state).toMatchObject({ role: 'observer', talking: false, problem: null });
  });

  it('keeps every record waiting without a network and hands in when it is back', async () => {
    const { clock, hub, weather, store, sync, tally } = scene({ count: 5 });
    weather.now = NO_NETWORK;
    sync.start();
    await clock.advance(10 * MINUTE);
    tally(5);
    await clock.advance(MINUTE);
    expect(sync.state).toMatchObject({ problem: { type: 'no-network' }, problemSince: START });
    expect(await store.counts()).toMatchObject({ waiting: 10 });
    weather.now = FAIR;
    await clock.advance(MINUTE);
    expect(hub.log).toHaveLength(10);
    expect(sync.state).toMatchObject({ problem: null, problemSince: null });
  });

  it('tries ever more rarely while the hub is away, however much is tallied, and at once when the network is back', async () => {
    const { clock, weather, sync, tally, store } = scene({ count: 1 });
    let tries = 0;
    weather.now = {
      ...NO_NETWORK,
      get dropCall() {
        tries += 1;
        return 1;
      },
    };
    sync.start();
    for (let second = 0; second < 3600; second += 1) {
      tally(1);
      await clock.advance(1000);
    }
    // Waits of at least 30 s in the end: 120 in an hour, and a few in the beginning.
    expect(tries).toBeGreaterThan(60);
    expect(tries).toBeLessThan(135);
    weather.now = FAIR;
    sync.networkBack();
    await clock.advance(1000);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it.each(Array.from({ length: 12 }, (_, i) => i + 1))(
    'converges over a network that drops, delays, doubles and reorders (%i)',
    async (seed) => {
      const { clock, hub, weather, tablet, store, sync, tally } = scene({ seed });
      const second = tablet('tablet-2');
      const lead = tablet('laptop', 'organiser');
      weather.now = { dropCall: 0.3, dropAnswer: 0.3, twice: 0.3, longestDelayMs: 4000 };
      for (const each of [sync, second.sync, lead.sync]) each.start();
      for (let i = 0; i < 40; i += 1) {
        tally(3);
        second.tally(2);
        await clock.advance(5000);
      }
      weather.now = FAIR;
      await clock.advance(5 * MINUTE);
      const all = [...store.own, ...second.store.own].map((row) => row.record.id).sort();
      expect(hub.log.map((record) => record.id).sort()).toEqual(all);
      expect(await store.counts()).toMatchObject({ waiting: 0, lastSeq: 120 });
      expect([...lead.store.pulled.keys()].sort()).toEqual(all);
    },
  );

  it('does no harm when two tabs of one device do the same work', async () => {
    const { clock, hub, store, sync, tablet } = scene({ count: 50 });
    const twin = tablet('tablet-1');
    twin.store.own = store.own;
    sync.start();
    twin.sync.start();
    await clock.advance(MINUTE);
    expect(hub.log).toHaveLength(50);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it('hands in again what a hub could not read once the hub is another version', async () => {
    const { hub, sync, clock } = scene({ count: 1 });
    let version = '1.0.0';
    hub.instead = (method, path, body) => {
      if (path.endsWith('/health')) return hub.json({ status: 'ok', store: 'sqlite', version });
      if (method !== 'POST' || !path.endsWith('/records') || version !== '1.0.0') return undefined;
      const rejected = (body as { records: { id: string }[] }).records.map(({ id }) => ({
        ...{ id, reason: 'malformed: kind: expected sighting, found clip' },
      }));
      return hub.json({ accepted: 0, known: 0, rejected, cursor: 'c0' });
    };
    const pushes = () => hub.calls.filter((call) => call === 'POST /records').length;
    sync.start();
    await clock.advance(MINUTE);
    const tries = pushes();
    await clock.advance(10 * MINUTE);
    expect([pushes(), sync.state.refused.length, hub.log.length]).toEqual([tries, 1, 0]);
    version = '1.1.0';
    await clock.advance(2 * MINUTE);
    expect([sync.state.refused, hub.log.length]).toEqual([[], 1]);
  });

  it('keeps what the hub refused, with the reason, and sends it again only when a person wants it', async () => {
    const { clock, hub, store, sync } = scene({ count: 3 });
    const lost = sighting(4, 'tablet-1', { checkpoint: 'k9' });
    store.add(lost);
    sync.start();
    await clock.advance(MINUTE);
    expect(sync.state.refused).toEqual([{ id: lost.id, reason: 'unknown checkpoint' }]);
    expect(await store.counts()).toMatchObject({ waiting: 1 });
    const pushes = () => hub.calls.filter((call) => call === 'POST /records').length;
    const before = pushes();
    await clock.advance(10 * MINUTE);
    expect(pushes()).toBe(before);
    hub.race = { ...hub.race, checkpoints: [...race.checkpoints, { id: 'k9', name: 'Weir', km: 9 }] };
    sync.sendNow();
    await clock.advance(1000);
    expect(hub.log.at(-1)).toEqual(lost);
    expect(sync.state.refused).toEqual([]);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it.each([413, 400])('finds the one record that makes the hub answer %i to a whole batch', async (status) => {
    const { clock, hub, store, sync } = scene({ count: 20 });
    const bad = store.own[12]!.record.id;
    hub.instead = (method, _path, body) =>
      method === 'POST' && JSON.stringify(body).includes(bad) ? fault(status, 'too-large') : undefined;
    sync.start();
    await clock.advance(1000);
    expect(hub.log).toHaveLength(19);
    expect(sync.state.refused).toEqual([{ id: bad, reason: 'too-large: says too-large' }]);
    expect(sync.state.problem).toBeNull();
  });

  it('marks nothing as handed in when the answer does not account for every record', async () => {
    const { clock, hub, store, sync } = scene({ count: 4 });
    hub.instead = (method) =>
      method === 'POST' ? hub.json({ accepted: 3, known: 0, rejected: [], cursor: 'c3' }) : undefined;
    sync.start();
    await clock.advance(1000);
    expect(await store.counts()).toMatchObject({ waiting: 4 });
    expect(sync.state.problem).toEqual({ type: 'strange-answer', status: 200 });
  });

  it.each([
    ['the sign-in page of a network', () => new Response('<html>Sign in</html>'), 'strange-answer'],
    ['a proxy that forbids', () => new Response('<html>Forbidden</html>', { status: 403 }), 'strange-answer'],
    ['a hub whose disk is full', () => fault(503, 'unavailable'), 'hub-failing'],
  ])('goes on trying past %s', async (_, answer, type) => {
    const { clock, hub, store, sync } = scene({ count: 4 });
    hub.instead = answer;
    sync.start();
    await clock.advance(MINUTE);
    expect(sync.state.problem).toMatchObject({ type });
    hub.instead = () => undefined;
    await clock.advance(MINUTE);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it.each([
    [401, 'unknown-token'],
    [403, 'wrong-race'],
  ])('stops knocking after %i, says why, and goes on when it has joined again', async (status, code) => {
    const { clock, hub, store, sync, tally } = scene({ count: 4 });
    hub.instead = () => fault(status, code);
    sync.start();
    for (let i = 0; i < 60; i += 1) {
      tally(1);
      await clock.advance(MINUTE);
    }
    expect(sync.state.problem).toEqual({ type: 'refused', status, code, message: `says ${code}` });
    expect(hub.calls.length).toBeLessThan(15);
    hub.instead = () => undefined;
    sync.linkChanged();
    await clock.advance(1000);
    expect(await store.counts()).toMatchObject({ waiting: 0, lastSeq: 64 });
  });

  it('waits as long as the hub asks', async () => {
    const { clock, hub, sync, store } = scene({ count: 4 });
    hub.instead = () => fault(429, 'too-many-tries', { 'retry-after': '120' });
    sync.start();
    await clock.advance(119_000);
    expect(hub.calls).toHaveLength(1);
    hub.instead = () => undefined;
    await clock.advance(2_000);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it('gives up on an answer that never comes and tries again', async () => {
    const { clock, weather, store, sync } = scene({ count: 4 });
    weather.now = { ...FAIR, longestDelayMs: 1e9 };
    sync.start();
    await clock.advance(31_000);
    expect(sync.state.problem).toEqual({ type: 'no-network' });
    weather.now = FAIR;
    await clock.advance(MINUTE);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it('never skips a page that could not be kept', async () => {
    const { clock, hub, sync, store, tablet } = scene({ role: 'analyst' });
    const source = tablet('tablet-2', 'observer');
    source.tally(30);
    source.sync.start();
    await clock.advance(1000);
    store.failAdding = true;
    sync.start();
    await clock.advance(MINUTE);
    expect(sync.state.problem).toEqual({ type: 'storageFull' });
    expect(store.hubLink?.cursor).toBeUndefined();
    store.failAdding = false;
    await clock.advance(2 * MINUTE);
    expect([...store.pulled.keys()]).toEqual(hub.log.map((record) => record.id));
  });

  it('starts from the first record when the hub lost its data, and hands in everything again', async () => {
    const { clock, hub, sync, store } = scene({ count: 12 });
    sync.start();
    await clock.advance(MINUTE);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
    hub.log.length = 0;
    await clock.advance(2 * MINUTE);
    expect(hub.log).toHaveLength(12);
    expect(await store.counts()).toMatchObject({ waiting: 0 });
  });

  it('brings records that were read from files, once', async () => {
    const { clock, hub, sync, store } = scene({ role: 'organiser', count: 2 });
    for (let seq = 1; seq <= 5; seq += 1) {
      const record = sighting(seq, 'tablet-9');
      store.pulled.set(record.id, record);
    }
    store.hubLink = { ...store.hubLink!, bringPulled: true };
    sync.start();
    await clock.advance(1000);
    expect(hub.log).toHaveLength(7);
    expect(store.hubLink?.bringPulled).toBe(false);
  });

  it('measures the offset of its clock in the middle of the round trip', async () => {
    const { clock, hub, weather, store, sync } = scene({ count: 1 });
    hub.offsetMs = -90_000;
    weather.now = { ...FAIR, longestDelayMs: 40 };
    sync.start();
    await clock.advance(MINUTE);
    expect(Math.abs((sync.state.offsetMs ?? 0) + 90_000)).toBeLessThanOrEqual(20);
    expect(store.hubLink?.offsetMs).toBe(sync.state.offsetMs);
    expect(sync.state.lastContact).toBeGreaterThan(START);
  });

  it('says nothing to any hub while the device is linked to none', async () => {
    const { clock, hub, store, sync } = scene({ count: 3 });
    store.hubLink = undefined;
    sync.start();
    await clock.advance(10 * MINUTE);
    expect(hub.calls).toEqual([]);
    expect(sync.state.role).toBeNull();
  });

  it('stops when it is told to', async () => {
    const { clock, hub, sync, tally } = scene({ count: 1 });
    sync.start();
    await clock.advance(1000);
    sync.stop();
    const before = hub.calls.length;
    tally(3);
    await clock.advance(10 * MINUTE);
    expect(hub.calls).toHaveLength(before);
  });
});
