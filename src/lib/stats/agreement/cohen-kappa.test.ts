import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cohenKappa, identityWeights, linearWeights } from './cohen-kappa.ts';

const square = fc.array(fc.array(fc.nat(20), { minLength: 3, maxLength: 3 }), { minLength: 3, maxLength: 3 });

it('is null where one class only occurs, and without units', () => {
  expect(
    cohenKappa([
      [0, 0],
      [0, 0],
    ]),
  ).toMatchObject({ n: 0, estimate: null, se: null, low: null, clusterHigh: null });
  expect(
    cohenKappa([
      [9, 0, 0],
      [0, 0, 0],
      [0, 0, 0],
    ]),
  ).toMatchObject({ n: 9, estimate: null });
});

it('is 1 without an interval at full agreement: no variation seen is no certainty', () => {
  expect(
    cohenKappa([
      [5, 0],
      [0, 3],
    ]),
  ).toMatchObject({ estimate: 1, se: 0, low: null, high: null });
});

it('is the same with the raters swapped or the classes renamed, contains its estimate, and widens with the level', () => {
  fc.assert(
    fc.property(square, (t) => {
      const plain = cohenKappa(t, identityWeights(3), 0.9);
      if (plain.estimate === null) return;
      const swapped = t.map((_, i) => t.map((row) => row[i]!));
      expect(cohenKappa(swapped, identityWeights(3), 0.9).estimate).toBeCloseTo(plain.estimate, 10);
      expect(cohenKappa(swapped, linearWeights(3)).se).toBeCloseTo(cohenKappa(t, linearWeights(3)).se!, 10);
      const renamed = [2, 0, 1].map((i) => [2, 0, 1].map((j) => t[i]![j]!));
      expect(cohenKappa(renamed).estimate).toBeCloseTo(plain.estimate, 10);
      if (plain.low === null) return;
      expect(plain.low <= plain.estimate && plain.estimate <= plain.high!).toBe(true);
      expect(cohenKappa(t, identityWeights(3), 0.95).low!).toBeLessThan(plain.low);
    }),
  );
});

it('has the same standard error when every unit is a cluster of its own, √2 of it when all come twice', () => {
  const table = [
    [4, 1],
    [2, 3],
  ];
  const first = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1];
  const second = [0, 0, 0, 0, 1, 0, 0, 1, 1, 1];
  const alone = { first, second, cluster: first.map((_, i) => i), clusterCount: 10 };
  const one = cohenKappa(table, identityWeights(2), 0.95, alone);
  expect(one.clusterSe).toBeCloseTo(one.se!, 12);
  const twice = {
    first: [...first, ...first],
    second: [...second, ...second],
    cluster: [...alone.cluster, ...alone.cluster],
    clusterCount: 10,
  };
  const doubled = cohenKappa(
    table.map((row) => row.map((count) => 2 * count)),
    identityWeights(2),
    0.95,
    twice,
  );
  expect(doubled.clusterSe).toBeCloseTo(doubled.se! * Math.SQRT2, 12);
});

it('throws for weights of another size and for units that are not those of the table', () => {
  expect(() =>
    cohenKappa(
      [
        [1, 2],
        [3, 4],
      ],
      identityWeights(3),
    ),
  ).toThrow('weights');
  const units = { first: [0], second: [0], cluster: [0], clusterCount: 1 };
  expect(() =>
    cohenKappa(
      [
        [1, 2],
        [3, 4],
      ],
      identityWeights(2),
      0.95,
      units,
    ),
  ).toThrow('table of 10');
});
