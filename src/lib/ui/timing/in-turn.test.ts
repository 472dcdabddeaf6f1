import { expect, test } from 'vitest';
import { InTurn } from './in-turn.ts';

test('work is done in the order in which it was asked for, and a failure holds up nothing', async () => {
  const steps = new InTurn();
  const done: string[] = [];
  const work = (name: string, ms: number) =>
    steps.take(async () => {
      await new Promise((resolve) => setTimeout(resolve, ms));
      done.push(name);
      return name;
    });
  const slow = work('slow', 5);
  const failing = steps.take(() => Promise.reject(new Error('full')));
  const quick = work('quick', 0);
  await expect(failing).rejects.toThrow('full');
  expect(await Promise.all([slow, quick])).toEqual(['slow', 'quick']);
  expect(done).toEqual(['slow', 'quick']);
});
