import type { ChiSquareResult } from '../stats/contingency/chi-square-result.ts';
import type { TestResult } from './test-result.ts';

/** Statistic, degrees of freedom and p of a test, without what else it returns. */
export function chiSquareMembers({ statistic, df, p }: ChiSquareResult): TestResult {
  return { statistic, df, p };
}
