import { describe, expect, it } from 'vitest';
import type { ForestPicture } from '../../findings/pool/pictures.ts';
import { grownForests, type ShownForest } from './grown-forests.ts';

const plot = (id: string, rows: number) => (): ForestPicture =>
  ({ id, rows: Array.from({ length: rows }, () => ({})) }) as unknown as ForestPicture;
const steps = (before: readonly ShownForest[], ...makers: (() => ForestPicture)[]) =>
  [...grownForests(before, makers)].map((shown) => shown.map(({ picture, rows }) => `${picture.id} ${rows}`));

describe('forest plots step by step', () => {
  it('grow by some rows at a time, one plot after the other', () => {
    expect(steps([], plot('a', 60), plot('b', 4))).toEqual([['a 25'], ['a 50'], ['a 60'], ['a 60', 'b 4']]);
  });

  it('that stand are changed in place, and none is taken away but to stay away', () => {
    const before = [
      { picture: plot('a', 60)(), rows: 60 },
      { picture: plot('b', 60)(), rows: 30 },
    ];
    expect(steps(before, plot('A', 70), plot('B', 10))).toEqual([
      ['A 70', 'b 30'],
      ['A 70', 'B 10'],
    ]);
    expect(steps(before, plot('A', 60))).toEqual([['a 60'], ['A 60']]);
    expect(steps(before)).toEqual([[]]);
  });
});
