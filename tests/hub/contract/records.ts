import { expect, test } from 'vitest';
import { recordLine } from '../../../src/lib/records/canonical-record.ts';
import { kindEntry, RECORD_KINDS } from '../../../src/lib/records/kinds.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import { ROLES } from '../../../src/lib/records/roles.ts';
import type { DeviceState, RefusedRecord } from '../../../src/lib/wire/wire.ts';
import { sampleRecord } from '../../helpers/records/sample-records.ts';
import { faultCode, organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { join, nextId, ORGANISER_KEY, pullAll, sighting } from '../../helpers/hub/hub-client.ts';

/** Pushing and pulling records: what is kept, what is refused and why, who sees what. */
export function recordsContract(hub: ContractHub): void {
  test('keeps each record once, and each with its reason', async () => {
    const { race, path, push, one, analyst } = await hub.field();
    const good = sighting(race.id, 'tab-1', 1, { note: "'); drop table records; -- <script>alert(1)</script>" });
    const twice = sighting(race.id, 'tab-1', 2);
    const batch: unknown[] = [
      good,
      good,
      twice,
      { ...twice, bib: '999' },
      null,
      17,
      [[]],
      { ...sighting(race.id, 'tab-1', 3), bib: 'x'.repeat(10_000) },
      { ...sighting(race.id, 'tab-1', 4), madeAt: '2026-13-45T99:00:00.000Z' },
      { ...sighting(race.id, 'tab-1', 5), madeAt: '+275760-09-13T00:00:00.000Z' },
      { ...sighting(race.id, 'tab-1', 6), seq: '6' },
      { ...sighting(race.id, 'tab-1', 7), __proto__x: 1 },
      { ...sighting(race.id, 'tab-1', 8), checkpoint: 'nowhere' },
      sighting('5e0f9a52-6c1e-4b0a-9d53-ffffffffffff', 'tab-1', 9),
      sighting(race.id, 'tab-2', 10),
      { ...sighting(race.id, 'tab-1', 11), gait: 'walk' },
    ];
    const pushed = await push(one, batch, { lastSeq: 30, sentAt: new Date(Date.now() - 90_000).toISOString() });
    expect([pushed.accepted, pushed.known]).toEqual([2, 1]);
    const reasons = pushed.rejected.map(({ reason }) => reason.replace(/:.*/s, ''));
    const count = (reason: string) => reasons.filter((r) => r === reason).length;
    expect(count('malformed')).toBe(9);
    for (const reason of ['conflict', 'unknown checkpoint', 'wrong race', 'wrong device'])
      expect(count(reason), reason).toBe(1);
    expect(pushed.rejected.every(({ reason }) => reason.length < 300)).toBe(true);
    expect(await push(one, [good, twice])).toMatchObject({ accepted: 0, known: 2, rejected: [] });
    // The default written out and an empty note say the same.
    expect(await push(one, [{ ...twice, gait: 'run', note: '' }])).toMatchObject({ accepted: 0, known: 1 });
    // Nothing that is refused counts as known, however often it comes.
    const nowhere = { ...sighting(race.id, 'tab-1', 12), checkpoint: 'nowhere' };
    const refusal = { id: nowhere.id, reason: 'unknown checkpoint' };
    expect(await push(one, [nowhere, nowhere])).toMatchObject({ accepted: 0, known: 0, rejected: [refusal, refusal] });
    const other = { ...good, bib: '998' };
    expect(await push(one, [other, other])).toMatchObject({ accepted: 0, known: 0, rejected: { length: 2 } });
    const { records } = await pullAll(hub.url, race.id, analyst, undefined, 1);
    expect(records.map(recordLine)).toEqual([good, twice].map(recordLine));
    const devices = (await hub.at('GET', `${path}/devices`, { token: analyst })).body as DeviceState[];
    const tab = devices.find(({ device }) => device === 'tab-1');
    expect(tab).toMatchObject({ observer: 'A1', records: 2, lastSeq: 30 });
    expect(tab?.offsetMs).toBeGreaterThan(89_000);
    expect(tab?.offsetMs).toBeLessThan(100_000);
    expect((await push(one, [{ ...good, bib: '5' }])).rejected).toEqual([{ id: good.id, reason: 'conflict' }]);
    await push(one, [{ ...good, bib: '5' }]);
    const refused = (await hub.at('GET', `${path}/refused`, organiser)).body as {
      records: RefusedRecord[];
      more: boolean;
    };
    expect(refused.records.map(({ reason }) => reason).sort()).toEqual([
      'conflict',
      'conflict',
      'conflict',
      'wrong device',
    ]);
    expect(refused.records.find(({ record }) => record.id === good.id)?.stands).toEqual(good);
  });

  test('tells devices apart by what they are called to the last character, and refuses an unpaired surrogate', async () => {
    const { race, codes, path, push } = await hub.field();
    const smile = 'tab-\u{1f600}';
    const { token } = await join(hub.url, codes.observer, smile);
    const half = smile.slice(0, -1);
    const refused = await hub.at('POST', '/join', { body: { code: codes.observer, device: half } });
    expect([refused.status, faultCode(refused.body)]).toEqual([400, 'malformed']);
    const own = sighting(race.id, smile, 1);
    expect(await push(token, [own])).toMatchObject({ accepted: 1, rejected: [] });
    const brought = await push(ORGANISER_KEY, [sighting(race.id, half, 1)]);
    expect(brought).toMatchObject({
      accepted: 0,
      rejected: [{ reason: 'malformed: device: device has an unpaired surrogate' }],
    });
    expect(await push(token, [sighting(race.id, smile, 2, { observer: half })])).toMatchObject({
      accepted: 0,
      rejected: [{ reason: 'malformed: observer: observer has an unpaired surrogate' }],
    });
    const devices = (await hub.at('GET', `${path}/devices`, organiser)).body as DeviceState[];
    expect(devices.filter(({ device }) => device.startsWith('tab-\ud83d'))).toMatchObject([
      { device: smile, records: 1 },
    ]);
    expect(devices).toHaveLength(4);
  });

  test('takes what is new in a large batch, whatever of it the hub has already', async () => {
    const { race, push, one, analyst } = await hub.field();
    const all = Array.from({ length: 233 }, (_, i) => sighting(race.id, 'tab-1', i + 1));
    const before = all.filter((_, i) => i % 7 === 3 || (i > 60 && i < 130));
    expect(await push(one, before)).toMatchObject({ accepted: before.length, known: 0 });
    const altered = all.map((record, i) => (i === 100 ? { ...record, bib: 'other' } : record));
    const pushed = await push(one, altered);
    expect(pushed).toMatchObject({ accepted: 233 - before.length, known: before.length - 1 });
    expect(pushed.rejected).toEqual([{ id: all[100]?.id, reason: 'conflict' }]);
    const { records, cursor } = await pullAll(hub.url, race.id, analyst, undefined, 50);
    const fresh = all.filter((record) => !before.includes(record));
    expect(records.map(({ id }) => id)).toEqual([...before, ...fresh].map(({ id }) => id));
    expect(cursor).toBe(pushed.cursor);
    expect(await push(one, all)).toMatchObject({ accepted: 0, known: 233, cursor });
  });

  test('lets observers speak of their own sightings alone, and see what was said of them', async () => {
    const { race, push, one, two, analyst } = await hub.field();
    const own = sighting(race.id, 'tab-1', 1);
    const others = sighting(race.id, 'tab-2', 1);
    await push(one, [own]);
    await push(two, [others]);
    const base = { race: race.id, madeAt: '2026-10-04T08:00:00.000Z', observer: 'A1' };
    const correct = (target: string, device: string, seq: number) =>
      ({ ...base, id: nextId(), kind: 'correction', device, seq, target, bib: '77' }) as TallyRecord;
    const ruling = {
      ...base,
      id: nextId(),
      kind: 'ruling',
      device: 'lead',
      seq: 1,
      checkpoint: 'k5',
      bib: '7',
      left: 'midfoot',
      right: 'midfoot',
    } as TallyRecord;
    expect((await push(one, [correct(others.id, 'tab-1', 2)])).rejected[0]?.reason).toBe('wrong device');
    expect((await push(one, [{ ...ruling, id: nextId(), device: 'tab-1' }])).rejected[0]?.reason).toBe('wrong role');
    expect((await push(analyst, [ruling])).rejected[0]?.reason).toBe('wrong role');
    const byLead = correct(own.id, 'lead', 2);
    const takenBack = {
      ...base,
      id: nextId(),
      kind: 'withdrawal',
      device: 'lead',
      seq: 3,
      target: byLead.id,
    } as TallyRecord;
    // What is said of a record may come before the record itself.
    const late = sighting(race.id, 'tab-1', 5);
    const early = correct(late.id, 'lead', 4);
    expect(await push(ORGANISER_KEY, [ruling, takenBack, byLead, early, correct(others.id, 'lead', 5)])).toMatchObject({
      accepted: 5,
    });
    await push(one, [late]);
    const seen = await pullAll(hub.url, race.id, one);
    expect(new Set(seen.records.map(({ id }) => id))).toEqual(
      new Set([own, byLead, takenBack, late, early].map(({ id }) => id)),
    );
    expect((await pullAll(hub.url, race.id, analyst)).records).toHaveLength(8);
    expect((await pullAll(hub.url, race.id, one, seen.cursor)).records).toEqual([]);
  });

  test.each(RECORD_KINDS)(
    'takes a %s from the least role that may bring it, and tells observers of it or not',
    async (kind) => {
      const { race, push, one, analyst } = await hub.field();
      const tokens = { observer: one, analyst, organiser: ORGANISER_KEY };
      const root = sighting(race.id, 'tab-1', 1);
      await push(one, [root]);
      const { leastRole, toObservers, targets } = kindEntry(kind);
      let seq = 1;
      const sample = (target: string) =>
        sampleRecord(kind, {
          ...{ id: nextId(), race: race.id, device: 'tab-1', seq: (seq += 1), checkpoint: 'k5', sighting: target },
        });
      const taken: TallyRecord[] = [];
      for (const role of ROLES) {
        const record = sample(root.id);
        const { accepted, rejected } = await push(tokens[role], [record]);
        const may = ROLES.indexOf(role) >= ROLES.indexOf(leastRole);
        expect([accepted, rejected[0]?.reason], role).toEqual(may ? [1, undefined] : [0, 'wrong role']);
        if (may) taken.push(record);
      }
      const seen = (await pullAll(hub.url, race.id, one)).records.map(({ id }) => id);
      for (const { id } of taken) expect(seen.includes(id)).toBe(toObservers !== false);
      if (targets === null) return;
      // Nobody's record of a kind that it cannot be about, and no observer's about another device's.
      const others = { ...sighting(race.id, 'tab-2', 1) };
      await push(ORGANISER_KEY, [others]);
      expect((await push(one, [sample(others.id)])).rejected[0]?.reason).toBe('wrong device');
      if (targets === 'any') return;
      const aboutItself = sample(taken[0]!.id);
      expect((await push(ORGANISER_KEY, [aboutItself])).rejected[0]?.reason).toMatch(/^malformed: target: expected a /);
    },
  );
}
