import { describe, expect, it } from 'vitest';
import { oneRunnerOnce } from './one-runner-once.ts';

const first = (ways: readonly { bib: number; weight: number }[]) =>
  [...ways].sort((a, b) => b.weight - a.weight)[0]?.bib;

describe('oneRunnerOnce', () => {
  it('gives a runner to the misreading that needs them most, and the other one the next', () => {
    const [sure, open] = oneRunnerOnce([
      { ways: [{ bib: 1, weight: 10 }], rest: 0.1, among: 'A1' },
      {
        ways: [
          { bib: 1, weight: 3 },
          { bib: 2, weight: 2 },
        ],
        rest: 0.1,
        among: 'A1',
      },
    ]);
    expect([first(sure!), first(open!)]).toEqual([1, 2]);
  });

  it('lets two observers have misread the same runner', () => {
    const all = ['A1', 'A2'].map((among) => ({
      ways: [
        { bib: 1, weight: 3 },
        { bib: 2, weight: 2 },
      ],
      rest: 0.1,
      among,
    }));
    expect(oneRunnerOnce(all)).toEqual(all.map(({ ways }) => ways));
  });

  it('is total where nothing has weight', () => {
    const none = { ways: [{ bib: 1, weight: 0 }], rest: 0, among: 'A1' };
    expect(oneRunnerOnce([none, none])).toEqual([none.ways, none.ways]);
    expect(oneRunnerOnce([])).toEqual([]);
  });
});
