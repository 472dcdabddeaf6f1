import { setImmediate as loopGoesRound } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { Turns } from './turns.ts';

/** Keeps the processor for some milliseconds, as reading a piece from SQLite does. */
function work(ms: number): void {
  for (const until = performance.now() + ms; performance.now() < until;);
}

test('whoever asks for little is heard between the pieces of many', async () => {
  const turns = new Turns();
  let done = 0;
  const readers = Array.from({ length: 20 }, async () => {
    const inTurn = turns.line();
    for (let piece = 0; piece < 3; piece += 1) {
      await inTurn(() => {
        work(3);
        done += 1;
        return Promise.resolve();
      });
    }
  });
  await loopGoesRound();
  expect(done).toBeLessThan(20);
  await Promise.all(readers);
  expect(done).toBe(60);
});

test('the page that was begun first goes first, and the next while it waits', async () => {
  const turns = new Turns();
  const order: string[] = [];
  let connectionTakes = (): void => undefined;
  const full = new Promise<void>((resolve) => (connectionTakes = resolve));
  const reader = async (name: string, waits?: Promise<void>) => {
    const inTurn = turns.line();
    for (let piece = 1; piece <= 3; piece += 1) {
      await inTurn(() => Promise.resolve(order.push(`${name}${piece}`)));
      if (piece === 2) await waits;
    }
  };
  const first = reader('a', full);
  await Promise.all(['b', 'c'].map((name) => reader(name)));
  connectionTakes();
  await first;
  expect(order).toEqual(['a1', 'a2', 'b1', 'b2', 'b3', 'c1', 'c2', 'c3', 'a3']);
});

test('few are read at once, however many ask; one that fails makes room for the next', async () => {
  const turns = new Turns();
  let underWay = 0;
  let most = 0;
  const outcomes = await Promise.allSettled(
    Array.from({ length: 20 }, (_, reader) =>
      turns.line()(async () => {
        underWay += 1;
        most = Math.max(most, underWay);
        await loopGoesRound();
        underWay -= 1;
        if (reader % 2) throw new Error('the store fails');
        return reader;
      }),
    ),
  );
  expect(most).toBe(3);
  expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(10);
});
