import { expect, it } from 'vitest';
import { AtMost } from './at-most.ts';

it('lets so much run at once, the rest in the order in which it came, and goes on after what failed', async () => {
  const two = new AtMost(2);
  const begun: number[] = [];
  const ends: (() => void)[] = [];
  const work = (n: number) =>
    two.run(
      () =>
        new Promise<number>((resolve, reject) => {
          begun.push(n);
          ends.push(() => (n === 1 ? reject(new Error('broken off')) : resolve(n)));
        }),
    );
  const all = Promise.allSettled([1, 2, 3, 4, 5].map(work));
  expect(begun).toEqual([1, 2]);
  expect(two.hasRoom).toBe(false);
  for (const [i, so] of [
    [1, 2, 3],
    [1, 2, 3, 4],
    [1, 2, 3, 4, 5],
  ].entries()) {
    ends[i]?.();
    await expect.poll(() => begun).toEqual(so);
  }
  ends[3]?.();
  ends[4]?.();
  expect((await all).map(({ status }) => status)).toEqual(['rejected', ...new Array(4).fill('fulfilled')]);
  expect(two.hasRoom).toBe(true);
});
