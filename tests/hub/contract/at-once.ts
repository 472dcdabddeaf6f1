import { setTimeout as sleep } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { DeviceState } from '../../../src/lib/wire/wire.ts';
import { organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { join, nextId, ORGANISER_KEY, pullAll, sighting } from '../../helpers/hub/hub-client.ts';

/** Many who push and pull at the same time. */
export function atOnceContract(hub: ContractHub): void {
  test('takes pushes that come at once as if they came one after the other', async () => {
    const { race, codes, path, push, one, analyst } = await hub.field();
    const tabs = await Promise.all(
      Array.from({ length: 30 }, async (_, i) => ({
        device: `at-once-${i}`,
        token: (await join(hub.url, codes.observer, `at-once-${i}`)).token,
      })),
    );
    const first = sighting(race.id, 'tab-1', 1);
    const again = { ...first, bib: '901' };
    const others = sighting(race.id, 'tab-2', 1);
    const correction = {
      ...{ id: nextId(), kind: 'correction', race: race.id, observer: 'A1', device: 'desk', seq: 1 },
      ...{ madeAt: '2026-10-04T08:00:00.000Z', target: first.id, bib: '902' },
    };
    const [pushes, twice, contested, brought, refused] = await Promise.all([
      Promise.all(
        tabs.map(({ device, token }, i) =>
          push(token, [sighting(race.id, device, i + 1)], { lastSeq: i + 1, sentAt: new Date().toISOString() }),
        ),
      ),
      Promise.all([push(one, [first]), push(one, [first])]),
      push(analyst, [again]),
      push(analyst, [correction]),
      push(one, [others]),
    ]);
    // Whichever of two contents came first stands; the same one again is known.
    const stands = contested.accepted === 1 ? again : first;
    expect([...twice, contested].reduce((sum, { accepted }) => sum + accepted, 0)).toBe(1);
    const conflicts = [...twice, contested].flatMap(({ rejected }) => rejected);
    expect(new Set(conflicts)).toEqual(new Set(conflicts.map(() => ({ id: first.id, reason: 'conflict' }))));
    expect(conflicts).toHaveLength(stands === first ? 1 : 2);
    expect(brought).toMatchObject({ accepted: 1, rejected: [] });
    expect(refused).toMatchObject({ accepted: 0, rejected: [{ id: others.id, reason: 'wrong device' }] });
    for (const answer of pushes) expect(answer).toMatchObject({ accepted: 1, known: 0, rejected: [] });
    // No two of them end at the same place, and each cursor stands right behind the record it was given for.
    expect(new Set(pushes.map(({ cursor }) => cursor)).size).toBe(tabs.length);
    const { records } = await pullAll(hub.url, race.id, ORGANISER_KEY);
    expect(records).toHaveLength(tabs.length + 2);
    expect(records.find(({ id }) => id === first.id)).toEqual(stands);
    for (const [i, { cursor }] of pushes.entries()) {
      const left = (await pullAll(hub.url, race.id, ORGANISER_KEY, cursor)).records;
      const place = records.findIndex(({ device }) => device === `at-once-${i}`);
      expect(left).toEqual(records.slice(place + 1));
    }
    const states = (await hub.at('GET', `${path}/devices`, organiser)).body as DeviceState[];
    for (const [i, { device }] of tabs.entries()) {
      const state = states.find((row) => row.device === device);
      expect(state).toMatchObject({ observer: 'A1', records: 1, lastSeq: i + 1 });
      expect(state?.offsetMs).not.toBeNull();
    }
  });

  test('never skips a record for one who follows while others push', async () => {
    const { race, push, analyst } = await hub.field();
    const pushed = new Set<string>();
    let pushing = true;
    const writers = Promise.all(
      Array.from({ length: 8 }, async (_, w) => {
        for (let n = 0; n < 25; n += 1) {
          const batch = Array.from({ length: 10 }, (_, i) => sighting(race.id, `far-${w}`, n * 10 + i + 1));
          await push(analyst, batch);
          for (const { id } of batch) pushed.add(id);
        }
      }),
    ).finally(() => {
      pushing = false;
    });
    const followed = new Set<string>();
    let cursor: string | undefined;
    while (pushing) {
      const page = await pullAll(hub.url, race.id, analyst, cursor, 37);
      for (const { id } of page.records) followed.add(id);
      cursor = page.cursor;
      await sleep(5);
    }
    await writers;
    for (const { id } of (await pullAll(hub.url, race.id, analyst, cursor, 37)).records) followed.add(id);
    expect(followed.size).toBe(2000);
    expect(followed).toEqual(pushed);
  });
}
