import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import type { Pushed } from '../../src/lib/wire/wire.ts';
import { listDevices } from '../../src/lib/server/join/devices.ts';
import { type Hub, openHub } from '../../src/lib/server/hub.ts';
import { ingest } from '../../src/lib/server/push/ingest.ts';
import { pull } from '../../src/lib/server/pull/pull.ts';
import type { Push } from '../../src/lib/server/push/push.ts';
import { openRace } from '../../src/lib/server/lists/races.ts';
import { readPush } from '../../src/lib/server/push/read-push.ts';
import { inventedRace, ORGANISER_KEY, sighting } from '../helpers/hub/hub-client.ts';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';

const postgres = sharedPostgres();
const organiser = { role: 'organiser', device: null } as const;
const idOf = (n: number) => `01920000-0000-7000-8000-00000000000${n}`;

/** Few ids, devices and contents, so that pushes often speak of the same record. */
const recordSpec = fc.record({
  id: fc.nat(7),
  device: fc.constantFrom('tab-1', 'tab-2'),
  kind: fc.constantFrom('sighting', 'sighting', 'correction', 'withdrawal'),
  target: fc.nat(7),
  bib: fc.constantFrom('7', '8'),
  checkpoint: fc.constantFrom('k5', 'k5', 'k9', 'nowhere'),
  seq: fc.integer({ min: 1, max: 9 }),
});
const pushSpec = fc.record({
  records: fc.array(recordSpec, { minLength: 1, maxLength: 4 }),
  by: fc.constantFrom('tab-1', 'tab-2', 'desk'),
  lastSeq: fc.option(fc.integer({ min: 1, max: 12 }), { nil: undefined }),
  clock: fc.option(fc.integer({ min: 0, max: 5 }), { nil: undefined }),
});

type RecordSpec = typeof recordSpec extends fc.Arbitrary<infer T> ? T : never;
type PushSpec = typeof pushSpec extends fc.Arbitrary<infer T> ? T : never;

function record(race: string, { id, device, kind, target, bib, checkpoint, seq }: RecordSpec) {
  if (kind === 'sighting') return sighting(race, device, seq, { id: idOf(id), bib, checkpoint, observer: device });
  const base = { id: idOf(id), kind, race, observer: device, device, seq, madeAt: '2026-10-04T08:00:00.000Z' };
  return kind === 'correction' ? { ...base, target: idOf(target), bib } : { ...base, target: idOf(target) };
}

describe.each(['sqlite', 'postgres'] as const)('pushes of one race taken together on %s', (store) => {
  let hub: Hub;
  const dataFolder = mkdtempSync(join(tmpdir(), 'kerbside-together-'));

  beforeAll(async () => {
    const databaseUrl = store === 'postgres' ? await postgres.newDatabase('together') : undefined;
    hub = await openHub({ dataFolder, databaseUrl, organiserKey: ORGANISER_KEY, now: () => 0 });
  }, 60_000);

  afterAll(async () => {
    await hub.adapter.close();
    rmSync(dataFolder, { recursive: true });
  });

  /** What a new race says when `groups` of pushes have been taken: every answer, and what each reader gets. */
  async function take(groups: readonly (readonly PushSpec[])[]) {
    const race = inventedRace();
    const opened = await openRace(hub, race);
    if (!opened.ok) throw new Error(opened.error.message);
    const row = await hub.db.selectFrom('races').select('race_no').where('id', '=', race.id).executeTakeFirstOrThrow();
    const raceNo = row.race_no;
    let now = Date.parse('2026-10-04T09:00:00.000Z');
    const asPush = ({ records, by, lastSeq, clock }: (typeof groups)[number][number]): Push => {
      const sentAt = clock === undefined ? undefined : new Date(now - clock).toISOString();
      const body = { records: records.map((spec) => record(race.id, spec)), lastSeq, sentAt };
      const message = readPush(JSON.stringify(body));
      if (!message.ok) throw new Error(message.error.message);
      now += 10;
      const bringer = { role: by === 'desk' ? ('analyst' as const) : ('observer' as const), device: by };
      return { raceNo, raceId: race.id, bringer, message: message.value, now };
    };
    const pulled = async (bringer: Parameters<typeof pull>[1]['bringer'], after?: string) => {
      const page = await pull(hub.adapter, { raceNo, bringer, after, limit: 10_000 });
      if (!page.ok) throw new Error(page.error.message);
      return (JSON.parse(page.value.replaceAll(race.id, '')) as { records: { id: string }[] }).records;
    };
    const answers: Pushed[] = [];
    for (const group of groups) {
      for (const answer of await ingest(hub.adapter, raceNo, group.map(asPush))) {
        if (!answer.ok) throw new Error(answer.error.message);
        answers.push(answer.value);
      }
    }
    const tab = async (device: string) => {
      const records = await pulled({ role: 'observer', device });
      return [...records].sort((a, b) => (a.id < b.id ? -1 : 1));
    };
    const refused = hub.db.selectFrom('refused').select(['record_id', 'reason', 'brought_by']);
    return {
      answers: answers.map(({ accepted, known, rejected }) => ({ accepted, known, rejected })),
      after: await Promise.all(answers.map(({ cursor }) => pulled(organiser, cursor))),
      all: await pulled(organiser),
      tabs: [await tab('tab-1'), await tab('tab-2')],
      devices: await listDevices(hub.db, raceNo),
      refused: await refused.where('race_no', '=', raceNo).orderBy('no').execute(),
    };
  }

  test('are answered and stored as if they had come one after the other', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(pushSpec, { minLength: 2, maxLength: 8 }), async (pushes) => {
        expect(await take([pushes])).toEqual(await take(pushes.map((push) => [push])));
      }),
      // Before the test's own end: a failure is told with its example, which shrinking would else take past it.
      { numRuns: 60, interruptAfterTimeLimit: 170_000, markInterruptAsFailure: true },
    );
    // Each of some 8,000 statements is a turn of two processes: on a machine with more to do than it can that takes minutes.
  }, 180_000);

  test('tell nobody of a record by way of one that was refused', async () => {
    const of = (id: number, kind: RecordSpec['kind'], target: number, device: RecordSpec['device'] = 'tab-1') =>
      ({ id, kind, target, device, bib: '7', checkpoint: 'k5', seq: 1 }) as const;
    const by = (device: RecordSpec['device'], ...records: RecordSpec[]): PushSpec => {
      return { records, by: device, lastSeq: undefined, clock: undefined };
    };
    const pushes = [
      by('tab-1', of(2, 'correction', 0)),
      by('tab-1', of(1, 'withdrawal', 2)),
      by('tab-2', of(0, 'sighting', 0, 'tab-2')),
      // A correction of a correction is refused; the withdrawal that names it is taken.
      by('tab-1', of(4, 'withdrawal', 6), of(6, 'correction', 2)),
    ];
    const together = await take([pushes]);
    expect(together).toEqual(await take(pushes.map((push) => [push])));
    expect(together.tabs[1]?.map(({ id }) => id)).toEqual([idOf(0), idOf(1), idOf(2)]);
  });

  test('that bring many records, some of them again, add the others as they are and in their order', async () => {
    const race = inventedRace();
    await openRace(hub, race);
    const row = await hub.db.selectFrom('races').select('race_no').where('id', '=', race.id).executeTakeFirstOrThrow();
    const bring = async (records: readonly object[]) => {
      const message = readPush(JSON.stringify({ records }));
      if (!message.ok) throw new Error(message.error.message);
      const push: Push = { raceNo: row.race_no, raceId: race.id, bringer: organiser, message: message.value, now: 0 };
      const [answer] = await ingest(hub.adapter, row.race_no, [push]);
      if (!answer?.ok) throw new Error('the push was not taken');
      return [answer.value.accepted, answer.value.known];
    };
    const sightings = Array.from({ length: 330 }, (_, i) => sighting(race.id, `tab-${i % 3}`, i + 1));
    const about = { kind: 'correction', target: sightings[0]?.id, bib: '77' };
    const { id, observer, device, madeAt } = sighting(race.id, 'tab-1', 1);
    const correction = { id, ...about, race: race.id, observer, device, seq: 331, madeAt };
    expect(await bring(sightings.slice(40, 100))).toEqual([60, 0]);
    expect(await bring([...sightings.slice(0, 260), correction, ...sightings.slice(260)])).toEqual([271, 60]);
    const page = await pull(hub.adapter, { raceNo: row.race_no, bringer: organiser, after: undefined, limit: 1000 });
    if (!page.ok) throw new Error(page.error.message);
    const pulled = (JSON.parse(page.value) as { records: object[] }).records;
    const later = [...sightings.slice(0, 40), ...sightings.slice(100, 260), correction, ...sightings.slice(260)];
    expect(pulled).toEqual([...sightings.slice(40, 100), ...later]);
  });

  test.runIf(store === 'postgres')('take one transaction of few statements, however many they are', async () => {
    const race = inventedRace();
    await openRace(hub, race);
    const row = await hub.db.selectFrom('races').select('race_no').where('id', '=', race.id).executeTakeFirstOrThrow();
    const statements = async (pushes: number, records: number) => {
      const group = Array.from({ length: pushes }, (_, p): Push => {
        const device = `tab-${p}`;
        const body = { records: Array.from({ length: records }, (_, i) => sighting(race.id, device, i + 1)) };
        const message = readPush(JSON.stringify(body));
        if (!message.ok) throw new Error(message.error.message);
        const bringer = { role: 'observer' as const, device };
        return { raceNo: row.race_no, raceId: race.id, bringer, message: message.value, now: 0 };
      });
      const query = vi.spyOn(pg.Client.prototype, 'query');
      const answers = await ingest(hub.adapter, row.race_no, group);
      const sent = query.mock.calls.length;
      query.mockRestore();
      expect(answers.every((answer) => answer.ok && answer.value.accepted === records)).toBe(true);
      return sent;
    };
    const one = await statements(1, 1);
    expect(one).toBeLessThanOrEqual(10);
    expect(await statements(20, 50)).toBe(one);
  });
});
