import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cohenKappa } from './cohen-kappa.ts';
import { exchangeableGee } from '../paired/exchangeable-gee.ts';
import { gwetAc1 } from './gwet-ac1.ts';
import { krippendorffAlpha } from './krippendorff-alpha.ts';

// Counting clusters that are alike must give what listing them one by one gives; that, in turn, is held to R elsewhere.

const kinds = fc.array(
  fc.record({
    count: fc.integer({ min: 1, max: 6 }),
    members: fc.array(fc.tuple(fc.integer({ min: 0, max: 2 }), fc.integer({ min: 0, max: 2 })), {
      minLength: 1,
      maxLength: 3,
    }),
  }),
  { minLength: 1, maxLength: 8 },
);

type Kinds = readonly { readonly count: number; readonly members: readonly (readonly [number, number])[] }[];

/** First and second number of each member with its cluster: a cluster of each kind, or all of them one by one. */
function columns(given: Kinds, oneByOne: boolean) {
  const clusters = given.flatMap(({ count, members }) => new Array<typeof members>(oneByOne ? count : 1).fill(members));
  const all = clusters.flatMap((members, at) => members.map(([a, b]) => ({ a, b, at })));
  return {
    first: all.map(({ a }) => a),
    second: all.map(({ b }) => b),
    cluster: all.map(({ at }) => at),
    clusterCount: clusters.length,
    ...(oneByOne ? {} : { alike: given.map(({ count }) => count) }),
  };
}

function close(found: object, expected: object) {
  for (const [name, value] of Object.entries(expected)) {
    const other = found[name as keyof typeof found] as unknown;
    if (typeof value === 'number') expect(other, name).toBeCloseTo(value, 8);
    else expect(other, name).toEqual(value);
  }
}

it('gives the same agreement for kinds of clusters as for the clusters', () => {
  fc.assert(
    fc.property(kinds, (given) => {
      const each = columns(given, true);
      const table = [0, 1, 2].map((a) =>
        [0, 1, 2].map((b) => each.first.filter((value, i) => value === a && each.second[i] === b).length),
      );
      close(cohenKappa(table, undefined, 0.95, columns(given, false)), cohenKappa(table, undefined, 0.95, each));
      close(gwetAc1(table, 0.95, columns(given, false)), gwetAc1(table, 0.95, each));
    }),
    { numRuns: 60 },
  );
});

it('gives the same alpha for kinds of units as for the units', () => {
  fc.assert(
    fc.property(kinds, (given) => {
      const alpha = (oneByOne: boolean) => {
        const { first, second, cluster, clusterCount, ...counted } = columns(given, oneByOne);
        const ratings = { unit: cluster, rater: first, class: second, unitCount: clusterCount };
        return krippendorffAlpha({ ...ratings, raterCount: 3, classCount: 3, ...counted });
      };
      close(alpha(false), alpha(true));
    }),
    { numRuns: 60 },
  );
});

it('gives the same trend for kinds of clusters as for the clusters', () => {
  fc.assert(
    fc.property(kinds, (given) => {
      const trend = (oneByOne: boolean) => {
        const { first, second, ...clusters } = columns(given, oneByOne);
        return exchangeableGee({ outcome: first.map((a) => (a > 0 ? 1 : 0)), covariate: second, ...clusters });
      };
      const [found, expected] = [trend(false), trend(true)];
      // At the edge of what has an estimate the last digits decide.
      if (found.reason === expected.reason && Math.abs(expected.coefficient ?? 0) < 10) {
        close({ ...found, p: null, low: null, high: null }, { ...expected, p: null, low: null, high: null });
      } else expect(found.clusters).toBe(expected.clusters);
    }),
    { numRuns: 60 },
  );
});

it('refuses counts that are none', () => {
  const one = { outcome: [0, 1], covariate: [0, 1], cluster: [0, 1], clusterCount: 2 };
  expect(() => exchangeableGee({ ...one, alike: [1] })).toThrow('1 counts for 2 clusters');
  expect(() => exchangeableGee({ ...one, alike: [1, 0] })).toThrow('alike');
});
