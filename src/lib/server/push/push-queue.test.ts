import { setImmediate as loopGoesRound } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { succeeded } from '../../records/attempt.ts';
import type { Pushed, Rejected } from '../../wire/wire.ts';
import type { Push } from './push.ts';
import { PushQueue } from './push-queue.ts';

const refused: Rejected = { id: '', reason: 'conflict' };

/** A push of `records` records whose moment, `now`, tells it from the others. */
function pushAt(now: number, { raceNo = 1, records = 1 } = {}): Push {
  const message = { records: new Array<Rejected>(records).fill(refused) };
  return { raceNo, raceId: '', bringer: { role: 'organiser', device: null }, message, now };
}

/** A store that answers each push with its moment, and all of a group with a failure if one of them is `unfit`. */
function slowStore(unfit?: number) {
  const groups: number[][] = [];
  const goOn: (() => void)[] = [];
  const queue = new PushQueue(async (raceNo, pushes) => {
    expect(pushes.every((push) => push.raceNo === raceNo)).toBe(true);
    const moments = pushes.map(({ now }) => now);
    groups.push(moments);
    await new Promise<void>((resolve) => goOn.push(resolve));
    if (unfit !== undefined && moments.includes(unfit)) throw new Error('the store fails');
    return moments.map((now) => succeeded<Pushed>({ accepted: 1, known: 0, rejected: [], cursor: String(now) }));
  });
  const take = async (push: Push) => {
    const answer = await queue.push(push);
    return answer.ok ? answer.value.cursor : answer.error.type;
  };
  /** Lets what is under way end until nothing is. */
  const end = async () => {
    for (let next = goOn.shift(); next; next = goOn.shift()) {
      next();
      await new Promise((resolve) => setImmediate(resolve));
    }
  };
  return { take, groups, end };
}

test('takes together what comes while a push is under way, in the order in which it came', async () => {
  const { take, groups, end } = slowStore();
  const answers = Promise.all([1, 2, 3, 4].map((now) => take(pushAt(now))));
  expect(groups).toEqual([[1]]);
  await end();
  expect(groups).toEqual([[1], [2, 3, 4]]);
  expect(await answers).toEqual(['1', '2', '3', '4']);
  const later = take(pushAt(5));
  await end();
  expect(await later).toBe('5');
});

test('lets no race wait for another', async () => {
  const { take, groups, end } = slowStore();
  const answers = Promise.all([take(pushAt(1)), take(pushAt(2, { raceNo: 2 })), take(pushAt(3))]);
  expect(groups).toEqual([[1], [2]]);
  await end();
  expect(await answers).toEqual(['1', '2', '3']);
});

test('takes at most 1000 records together, and a larger push by itself; small ones go in beside them', async () => {
  const { take, groups, end } = slowStore();
  const sizes = [1, 400, 600, 30, 1001, 1];
  const answers = Promise.all(sizes.map((records, now) => take(pushAt(now, { records }))));
  await end();
  expect(groups).toEqual([[0], [1, 2, 5], [3], [4]]);
  expect(await answers).toEqual(['0', '1', '2', '3', '4', '5']);
});

test('lets nobody who tallies stand behind those who hand in a whole day, and these get in too', async () => {
  const { take, groups, end } = slowStore();
  const answers = Promise.all([
    ...[0, 1, 2].map((now) => take(pushAt(now, { records: 1000 }))),
    ...Array.from({ length: 20 }, (_, i) => take(pushAt(10 + i, { records: 11 }))),
  ]);
  await end();
  // 18 of them have fewer than 200 records together.
  expect(groups.map((group) => group.slice(0, 2))).toEqual([[0], [1, 10], [2, 28]]);
  expect(groups[1]).toHaveLength(19);
  expect(await answers).toHaveLength(23);
});

test('fails only the push that the store does not take, and goes on', async () => {
  const { take, groups, end } = slowStore(3);
  const answers = Promise.allSettled([1, 2, 3, 4].map((now) => take(pushAt(now))));
  await end();
  expect(groups).toEqual([[1], [2, 3, 4], [2], [3], [4]]);
  const outcomes = (await answers).map((answer) => (answer.status === 'fulfilled' ? answer.value : 'failed'));
  expect(outcomes).toEqual(['1', '2', 'failed', '4']);
  const later = take(pushAt(5));
  await end();
  expect(await later).toBe('5');
});

test('what comes while it gathers goes in together, though the store answers at once', async () => {
  const groups: number[][] = [];
  const queue = new PushQueue((_raceNo, pushes) => {
    groups.push(pushes.map(({ now }) => now));
    return Promise.resolve(
      pushes.map(({ now }) => succeeded<Pushed>({ accepted: 1, known: 0, rejected: [], cursor: String(now) })),
    );
  }, loopGoesRound);
  await Promise.all([1, 2, 3].map((now) => queue.push(pushAt(now))));
  await queue.push(pushAt(4));
  expect(groups).toEqual([[1, 2, 3], [4]]);
});
