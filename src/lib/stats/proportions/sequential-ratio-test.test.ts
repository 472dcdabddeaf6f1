import { describe, expect, it } from 'vitest';
import { sequentialRatioTest } from './sequential-ratio-test.ts';

const right = (n: number) => Array.from({ length: n }, () => true);

describe('sequentialRatioTest', () => {
  it('stops where the sum of logarithms reaches Wald’s bound', () => {
    // By hand: ln 19 ÷ ln(0.95/0.85) = 26.47, so 27 successes in a row; ln 19 ÷ ln 3 = 2.68, so 3 failures.
    expect(sequentialRatioTest(right(26), 0.85, 0.95)).toMatchObject({ decision: 'open', at: null });
    expect(sequentialRatioTest(right(40), 0.85, 0.95)).toMatchObject({ decision: 'high', at: 27 });
    expect(sequentialRatioTest([false, false, false, true], 0.85, 0.95)).toMatchObject({ decision: 'low', at: 3 });
  });

  it('agrees with R: cumsum(log(ifelse(right, .95/.85, .05/.15)))', () => {
    const { logRatio } = sequentialRatioTest([true, true, false, false, true], 0.85, 0.95);
    expect(logRatio).toBeCloseTo(-1.863547672005546, 12);
  });

  it('is open without a trial and refuses shares out of order', () => {
    expect(sequentialRatioTest([], 0.85, 0.95)).toEqual({ decision: 'open', at: null, logRatio: 0 });
    expect(() => sequentialRatioTest([], 0.9, 0.9)).toThrow(RangeError);
    expect(() => sequentialRatioTest([], 0, 0.9)).toThrow(RangeError);
  });
});
