import { describe, expect, it } from 'vitest';
import { agreementUnitsNeeded } from '../../src/lib/stats/agreement/agreement-units-needed.ts';
import { chiSquareUpperQuantile, normalUpperQuantile } from '../../src/lib/stats/distributions.ts';
import { doubleSamplingPlan } from '../../src/lib/stats/misclassification/double-sampling-plan.ts';
import { erlangLoss } from '../../src/lib/stats/erlang-loss.ts';
import { mcnemarCriticalCounts } from '../../src/lib/stats/paired/mcnemar-critical-counts.ts';
import { mcnemarPairsNeeded } from '../../src/lib/stats/paired/mcnemar-pairs-needed.ts';
import { mcnemarPower } from '../../src/lib/stats/paired/mcnemar-power.ts';
import { noncentralChiSquareUpperTail } from '../../src/lib/stats/noncentral-chi-square.ts';

/** Sample sizes and powers as they stand in print. `seen`: printed in the source named; else written down from memory. */
describe('published examples of planning', () => {
  it('power of the exact test of changes, 50 pairs: R. G. O’Brien 2002, one-sided 0.839 (from memory)', () => {
    // One-sided at 0.05 is two-sided at 0.10 but for the rejections in the other direction, here below 1e-6.
    const power = mcnemarPower(50, { changed: 0.4, gainedOfChanged: 0.8 }, 0.1, 'exact');
    expect(power).toBeCloseTo(0.839, 3);
    expect([...mcnemarCriticalCounts(6, 0.05, 'exact')]).toEqual([1, 2, 3, 4, 5, 6, 6]);
  });

  it('pairs by Connor 1987 at 0.3 changed and a difference of 0.1: about 234 (from memory)', () => {
    expect(mcnemarPairsNeeded({ changed: 0.3, gainedOfChanged: 2 / 3 }, 0.05, 0.8).connor).toBe(234);
  });

  it('power of the chi-square test: J. Cohen 1988, examples 7.1, 7.2 and 7.8 as the R package pwr gives them (seen)', () => {
    const power = (w: number, n: number, df: number, alpha: number): number =>
      noncentralChiSquareUpperTail(chiSquareUpperQuantile(alpha, df), df, n * w ** 2);
    expect(power(0.289, 100, 3, 0.05)).toBeCloseTo(0.675, 3);
    expect(power(0.346, 140, 2, 0.01)).toBeCloseTo(0.885, 3);
    expect(power(0.1, 2096.08, 20, 0.05)).toBeCloseTo(0.8, 4);
  });

  it('Erlang’s loss: common traffic tables (from memory)', () => {
    const rows = [
      [1, 1, 0.5],
      [2, 1, 0.2],
      [5, 3, 0.1101],
      [10, 5, 0.0184],
    ] as const;
    for (const [servers, load, lost] of rows) expect(erlangLoss(servers, load)).toBeCloseTo(lost, 4);
  });

  it('variance of kappa for two classes and a common margin: D. A. Bloch, H. C. Kraemer 1989 (formula from memory)', () => {
    const z = normalUpperQuantile(0.025);
    for (const kappa of [0.4, 0.8]) {
      for (const p of [0.5, 0.9]) {
        const variance = (1 - kappa) * ((1 - kappa) * (1 - 2 * kappa) + (kappa * (2 - kappa)) / (2 * p * (1 - p)));
        const units = Math.ceil(((2 * z) / 0.2) ** 2 * variance - 1e-9);
        expect(agreementUnitsNeeded([p, 1 - p], kappa, 0.2).units).toBe(units);
      }
    }
  });

  it('double sampling: A. Tenenbein 1970, the best fraction is √((1 − K)/(K·R))', () => {
    const plan = doubleSamplingPlan({
      ...{ share: 0.3, sensitivity: 0.9, specificity: 0.9, units: 1000, halfWidth: 0.05 },
      ...{ cheapCost: 4, trueCost: 80 },
    });
    const k = plan.reliability;
    expect(k).toBeCloseTo((0.21 * 0.8 ** 2) / (0.34 * 0.66), 12);
    expect(plan.optimalFraction).toBeCloseTo(Math.sqrt((1 - k) / (20 * k)), 12);
  });
});
