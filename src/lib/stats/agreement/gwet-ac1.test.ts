import { expect, it } from 'vitest';
import { gwetAc1 } from './gwet-ac1.ts';

it('is null without units, and stays defined where one class only occurs', () => {
  expect(
    gwetAc1([
      [0, 0],
      [0, 0],
    ]),
  ).toMatchObject({ n: 0, estimate: null });
  expect(
    gwetAc1([
      [7, 0, 0],
      [0, 0, 0],
      [0, 0, 0],
    ]),
  ).toMatchObject({ estimate: 1, se: 0, low: null, high: null });
});

it('counts classes that nobody used', () => {
  const two = gwetAc1([
    [10, 2],
    [1, 4],
  ]).estimate!;
  const three = gwetAc1([
    [10, 2, 0],
    [1, 4, 0],
    [0, 0, 0],
  ]).estimate!;
  expect(three).toBeGreaterThan(two);
});

it('is the same with the raters swapped, and widens with the level', () => {
  const table = [
    [20, 3, 1],
    [2, 9, 0],
    [4, 1, 5],
  ];
  const swapped = table.map((_, i) => table.map((row) => row[i]!));
  expect(gwetAc1(swapped).se).toBeCloseTo(gwetAc1(table).se!, 12);
  expect(gwetAc1(table, 0.99).low!).toBeLessThan(gwetAc1(table, 0.9).low!);
});

it('throws for a table of one class', () => {
  expect(() => gwetAc1([[3]])).toThrow('at least 2');
});
