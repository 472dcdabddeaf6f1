import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { erlangLoss } from '../../src/lib/stats/erlang-loss.ts';
import { expectedMultiples } from '../../src/lib/stats/expected-multiples.ts';
import type { McnemarVariant } from '../../src/lib/stats/paired/mcnemar-critical-counts.ts';
import { mcnemarPairsNeeded } from '../../src/lib/stats/paired/mcnemar-pairs-needed.ts';
import { mcnemarPower, type PairedChange } from '../../src/lib/stats/paired/mcnemar-power.ts';
import { noncentralChiSquareUpperTail } from '../../src/lib/stats/noncentral-chi-square.ts';
import { quantileType5 } from '../../src/lib/stats/samples/quantile-type5.ts';

/** The procedures behind a plan against R 4.2.2: tests/reference/planning-procedures.R says how R came to each figure. */
interface Case {
  readonly procedure: string;
  readonly input: never;
  readonly expected: { readonly value: number };
}

const CASES = JSON.parse(
  readFileSync(new URL('../reference/planning-procedures.json', import.meta.url), 'utf8'),
) as Case[];

type Powered = PairedChange & { alpha: number; variant: McnemarVariant };

const RECOMPUTE: Record<string, (input: never) => number | null> = {
  mcnemarPower: ({ pairs, alpha, variant, ...change }: Powered & { pairs: number }) =>
    mcnemarPower(pairs, change, alpha, variant),
  mcnemarPairsNeeded: ({ alpha, power, variant, ...change }: Powered & { power: number }) =>
    mcnemarPairsNeeded(change, alpha, power)[variant],
  expectedMultiples: ({ load, every, batchMean }: { load: number; every: number; batchMean: number }) =>
    expectedMultiples(load, every, batchMean),
  noncentralChiSquare: ({ x, df, noncentrality }: { x: number; df: number; noncentrality: number }) =>
    noncentralChiSquareUpperTail(x, df, noncentrality),
  quantileType5: ({ values, probability }: { values: number | number[]; probability: number }) =>
    quantileType5([values].flat(), probability),
  erlangLoss: ({ servers, load }: { servers: number; load: number }) => erlangLoss(servers, load),
};

describe.each(Object.keys(RECOMPUTE))('%s as R gives it', (procedure) => {
  const cases = CASES.filter((one) => one.procedure === procedure);

  it('on every case', () => {
    expect(cases.length).toBeGreaterThanOrEqual(8);
    for (const { input, expected } of cases) {
      const found = RECOMPUTE[procedure]!(input)!;
      // What it enters is 1/(1 + E): of a count near 0 only the absolute error matters.
      const allowed = Math.max(1e-10 * Math.abs(expected.value), 1e-13);
      expect(Math.abs(found - expected.value), JSON.stringify({ input, found, expected })).toBeLessThanOrEqual(allowed);
    }
  });
});
