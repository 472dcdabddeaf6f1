import { expect, it } from 'vitest';
import { exchangeableGee } from './exchangeable-gee.ts';

const none = {
  intercept: null,
  coefficient: null,
  se: null,
  z: null,
  p: null,
  oddsRatio: null,
  low: null,
  high: null,
  alpha: null,
};
const alone = (outcome: number[], covariate: number[]) =>
  exchangeableGee({ outcome, covariate, cluster: outcome.map((_, i) => i), clusterCount: outcome.length });

it('says why there is no estimate', () => {
  expect(alone([], [])).toMatchObject({ clusters: 0, observations: 0, ...none, reason: 'one outcome' });
  expect(alone([1, 1], [1, 2])).toMatchObject({ ...none, reason: 'one outcome' });
  expect(alone([0, 1], [5, 5])).toMatchObject({ ...none, reason: 'one covariate value' });
  expect(alone([0, 0, 1, 1], [1, 2, 2, 3])).toMatchObject({ ...none, reason: 'separated' });
  expect(alone([1, 1, 0, 0], [1, 2, 2, 3])).toMatchObject({ ...none, reason: 'separated' });
});

// By hand: with two covariate values and no clusters the coefficient is the logarithm of the odds ratio.
it('is the odds ratio of a 2 × 2 table where nothing is clustered', () => {
  const outcome = [...Array<number>(8).fill(1), 0, 0, ...Array<number>(3).fill(1), ...Array<number>(6).fill(0)];
  const covariate = outcome.map((_, i) => (i < 10 ? 1 : 0));
  const fit = alone(outcome, covariate);
  expect(fit.alpha).toBeNull();
  expect(fit.oddsRatio).toBeCloseTo((8 / 2 / 3) * 6, 9);
  // The robust variance is that of a log odds ratio: the sum of the inverted counts.
  expect(fit.se).toBeCloseTo(Math.sqrt(1 / 8 + 1 / 2 + 1 / 3 + 1 / 6), 9);
});

it('does not care about order, about the numbers of clusters, or about where the covariate starts', () => {
  const outcome = [0, 1, 0, 1, 1, 0, 1, 1, 0, 1, 0, 0];
  const covariate = [1, 2, 1, 3, 2, 1, 3, 2, 3, 1, 2, 2];
  const cluster = [0, 0, 0, 1, 1, 2, 2, 2, 3, 3, 4, 4];
  const fit = exchangeableGee({ outcome, covariate, cluster, clusterCount: 5 });
  const turned = exchangeableGee({
    outcome: [...outcome].reverse(),
    covariate: [...covariate].reverse().map((x) => x + 1000),
    cluster: [...cluster].reverse().map((c) => 9 - c),
    clusterCount: 20,
  });
  expect(turned.clusters).toBe(5);
  expect(turned.coefficient).toBeCloseTo(fit.coefficient!, 8);
  expect(turned.se).toBeCloseTo(fit.se!, 8);
  expect(turned.alpha).toBeCloseTo(fit.alpha!, 8);
  expect(fit.low! < fit.oddsRatio! && fit.oddsRatio! < fit.high!).toBe(true);
});

it('throws for lengths that differ and for what is out of range', () => {
  expect(() => exchangeableGee({ outcome: [1], covariate: [], cluster: [0], clusterCount: 1 })).toThrow(
    'differ in length',
  );
  expect(() => alone([2], [1])).toThrow('outcome 2');
  expect(() => exchangeableGee({ outcome: [1], covariate: [1], cluster: [1], clusterCount: 1 })).toThrow('cluster 1');
  expect(() => alone([1], [NaN])).toThrow('covariate');
});

/** Each cluster's outcomes at covariates 1 and 2. */
const clustersOf = (patterns: readonly (readonly [number, number])[]) =>
  exchangeableGee({
    outcome: patterns.flat(),
    covariate: patterns.flatMap(() => [1, 2]),
    cluster: patterns.flatMap((_, i) => [i, i]),
    clusterCount: patterns.length,
  });
const repeat = (times: number, pattern: readonly [number, number]) => Array.from({ length: times }, () => pattern);

// By hand: where nobody changes the two residuals of a cluster are equal, so α is 1 and the equations have no inverse;
// where everybody does they are opposite, so α is −1, and 1 + α is 0.
it('has no estimate where the working correlation is no correlation', () => {
  const unchanged = clustersOf([...repeat(100, [1, 1]), ...repeat(33, [0, 0])]);
  expect(unchanged).toMatchObject({ coefficient: null, p: null, alpha: null, reason: 'improper correlation' });
  const changed = clustersOf([...repeat(6, [0, 1]), ...repeat(6, [1, 0])]);
  expect(changed).toMatchObject({ coefficient: null, alpha: null, reason: 'improper correlation' });
  expect(clustersOf([...repeat(20, [1, 1]), ...repeat(5, [0, 0]), [0, 1]]).coefficient).not.toBeNull();
});
