import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differences, publishedFor } from '../../../../tests/helpers/findings/published.ts';
import { cochranHeterogeneity } from './cochran-heterogeneity.ts';
import { heterogeneityShare } from './heterogeneity-share.ts';
import { logitOfShare } from '../proportions/logit-of-share.ts';
import { pairedDifferenceVariance } from '../paired/paired-difference-variance.ts';
import { qProfileInterval } from './q-profile-interval.ts';
import { randomEffectsMean } from './random-effects-mean.ts';
import { randomEffectsRegression } from './random-effects-regression.ts';

/** The procedures belong together: one worked example runs through most of them. */
interface Pair {
  readonly estimate: number[];
  readonly variance: number[];
}

function pooled(studies: Pair, level: number): Record<string, number | null> {
  const mean = randomEffectsMean(studies, level);
  const { low, high } = qProfileInterval(studies, level);
  const { estimate, se, t, df, p, predictionLow, predictionHigh, tau2 } = mean;
  return {
    ...{ estimate, se, t, df, p, low: mean.low, high: mean.high, predictionLow, predictionHigh, tau2 },
    tau2Low: low,
    tau2High: high,
    i2: heterogeneityShare(tau2, studies.variance),
    statistic: cochranHeterogeneity(studies).statistic,
  };
}

type Trials = Record<'tpos' | 'tneg' | 'cpos' | 'cneg', number[]>;

/** Log risk ratios with their variances. */
function riskRatios({ tpos, tneg, cpos, cneg }: Trials): Pair {
  const estimate = tpos.map((a, i) => Math.log(a / (a + tneg[i]!) / (cpos[i]! / (cpos[i]! + cneg[i]!))));
  const variance = tpos.map((a, i) => 1 / a - 1 / (a + tneg[i]!) + 1 / cpos[i]! - 1 / (cpos[i]! + cneg[i]!));
  return { estimate, variance };
}

describe('published examples', () => {
  it.each(publishedFor('pool'))('%s', (_, example) => {
    const input = example.input as unknown as Trials & { level: number };
    expect(differences(example, pooled(riskRatios(input), input.level))).toEqual([]);
  });

  it.each(publishedFor('regression'))('%s', (_, example) => {
    const input = example.input as unknown as { of: string; x: number[]; per: number; level: number };
    const trials = publishedFor('pool').find(([title]) => title.startsWith(input.of))![1].input as unknown as Trials;
    const covariate = input.x.map((x) => x / input.per);
    const found = randomEffectsRegression({ ...riskRatios(trials), covariate }, input.level);
    expect(differences(example, found)).toEqual([]);
  });

  it.each(publishedFor('poolShares'))('%s', (_, example) => {
    const { x, n, level } = example.input as { x: number[]; n: number[]; level: number };
    const logits = x.map((count, i) => logitOfShare(count, n[i]!));
    const studies = {
      estimate: logits.map(({ estimate }) => estimate),
      variance: logits.map(({ variance }) => variance),
    };
    const found = pooled(studies, level);
    const share = (logit: number | null | undefined): number => 1 / (1 + Math.exp(-(logit ?? NaN)));
    const back = {
      share: share(found['estimate']),
      shareLow: share(found['low']),
      shareHigh: share(found['high']),
      sharePredictionLow: share(found['predictionLow']),
      sharePredictionHigh: share(found['predictionHigh']),
    };
    expect(differences(example, { ...found, ...back })).toEqual([]);
    expect(logits.filter(({ halfAdded }) => halfAdded)).toHaveLength(2);
  });

  it.each(publishedFor('pairedVariance'))('%s', (_, example) => {
    const { gained, lost, paired } = example.input as { gained: number; lost: number; paired: number };
    const found = {
      difference: (gained - lost) / paired,
      variance: pairedDifferenceVariance(gained, lost, paired),
    };
    expect(differences(example, found)).toEqual([]);
  });
});

const studies = fc
  .array(
    fc.tuple(
      fc.double({ min: -3, max: 3, noNaN: true }),
      fc.double({ min: 0.01, max: 2, noNaN: true }),
      fc.double({ min: 0, max: 3, noNaN: true }),
    ),
    { minLength: 3, maxLength: 12 },
  )
  .map((rows) => ({
    estimate: rows.map(([y]) => y),
    variance: rows.map(([, v]) => v),
    covariate: rows.map(([, , x]) => x),
  }));

describe('properties', () => {
  it('a change of place and scale moves the mean and nothing else', () => {
    fc.assert(
      fc.property(studies, ({ estimate, variance }) => {
        const plain = randomEffectsMean({ estimate, variance });
        const moved = randomEffectsMean({
          estimate: estimate.map((y) => 5 + 2 * y),
          variance: variance.map((v) => 4 * v),
        });
        expect(moved.estimate).toBeCloseTo(5 + 2 * plain.estimate, 7);
        expect(moved.se).toBeCloseTo(2 * plain.se, 7);
        expect(moved.tau2).toBeCloseTo(4 * plain.tau2, 7);
      }),
    );
  });

  it('the order of studies does not count; weights add up to 1; prediction is no narrower than the interval', () => {
    fc.assert(
      fc.property(studies, ({ estimate, variance }) => {
        const one = randomEffectsMean({ estimate, variance });
        const other = randomEffectsMean({ estimate: [...estimate].reverse(), variance: [...variance].reverse() });
        expect(other.estimate).toBeCloseTo(one.estimate, 9);
        expect(one.weights.reduce((sum, w) => sum + w, 0)).toBeCloseTo(1, 12);
        expect(one.predictionLow!).toBeLessThanOrEqual(one.low);
        const profile = qProfileInterval({ estimate, variance });
        expect(profile.low).toBeLessThanOrEqual(profile.high);
        expect(heterogeneityShare(one.tau2, variance)).toBeLessThan(1);
      }),
    );
  });

  it('studies that all say the same have no variance between them', () => {
    const same = { estimate: [0.3, 0.3, 0.3], variance: [0.1, 0.2, 0.3] };
    expect(randomEffectsMean(same).tau2).toBe(0);
    expect(cochranHeterogeneity(same).p).toBe(1);
    expect(qProfileInterval(same)).toEqual({ low: 0, high: 0 });
  });

  it('moving the covariate moves the intercept alone', () => {
    fc.assert(
      fc.property(studies, ({ estimate, variance, covariate }) => {
        fc.pre(Math.max(...covariate) - Math.min(...covariate) > 0.5);
        const plain = randomEffectsRegression({ estimate, variance, covariate });
        const moved = randomEffectsRegression({ estimate, variance, covariate: covariate.map((x) => x + 7) });
        expect(moved.coefficient).toBeCloseTo(plain.coefficient, 6);
        expect(moved.intercept).toBeCloseTo(plain.intercept - 7 * plain.coefficient, 5);
      }),
    );
  });
});

describe('bad input', () => {
  it('throws', () => {
    expect(() => randomEffectsMean({ estimate: [1], variance: [1] })).toThrow('at least 2');
    expect(() => randomEffectsMean({ estimate: [1, 2], variance: [1, 0] })).toThrow('variance');
    expect(() => randomEffectsMean({ estimate: [1, 2], variance: [1] })).toThrow('length');
    const flat = { estimate: [1, 2, 3], variance: [1, 1, 1], covariate: [2, 2, 2] };
    expect(() => randomEffectsRegression(flat)).toThrow('the same');
    expect(() => heterogeneityShare(0, [1])).toThrow('at least 2');
    expect(() => logitOfShare(2, 1)).toThrow('no share');
    expect(() => pairedDifferenceVariance(2, 2, 3)).toThrow('pairs');
  });
});
