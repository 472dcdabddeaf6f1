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
    for (let piece = 0; piece < 5; piece += 1) {
      await turns.take();
      work(3);
      done += 1;
    }
  });
  await loopGoesRound();
  expect(done).toBeLessThan(20);
  await Promise.all(readers);
  expect(done).toBe(100);
});

test('turns are given in the order in which they were asked for', async () => {
  const turns = new Turns();
  const order: string[] = [];
  const reader = async (name: string) => {
    for (let piece = 1; piece <= 3; piece += 1) {
      await turns.take();
      order.push(`${name}${piece}`);
    }
  };
  await Promise.all(['a', 'b', 'c'].map(reader));
  expect(order).toEqual(['a1', 'b1', 'c1', 'a2', 'b2', 'c2', 'a3', 'b3', 'c3']);
});

test('one that waits for a database does not keep the others waiting', async () => {
  const turns = new Turns();
  let answer = (): void => undefined;
  const slow = turns.take().then(() => new Promise<void>((resolve) => (answer = resolve)));
  await turns.take();
  answer();
  await slow;
});
