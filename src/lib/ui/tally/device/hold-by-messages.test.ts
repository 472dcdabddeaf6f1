import { expect, test, vi } from 'vitest';
import { holdByMessages } from './hold-by-messages.ts';

const WAITS = { answerMs: 60, againMs: 80 };
const nothing = () => undefined;

test('a second tab is told so, and hears when the first has gone', async () => {
  const first = await holdByMessages('one-after-the-other', 9, nothing, WAITS);
  const onHeld = vi.fn();
  const second = await holdByMessages('one-after-the-other', 1, onHeld, WAITS);
  expect([first.first, second.first]).toEqual([true, false]);
  expect(onHeld).not.toHaveBeenCalled();
  first.release();
  await vi.waitFor(() => expect(onHeld).toHaveBeenCalledOnce());
  second.release();
});

test('of tabs that open at once one is first', async () => {
  const all = await Promise.all([5, 3, 8].map((me) => holdByMessages('at-once', me, nothing, WAITS)));
  expect(all.map(({ first }) => first)).toEqual([false, true, false]);
  for (const one of all) one.release();
});
