/** A chi-square or another test with one statistic; all three are `null` together. */
export interface TestResult {
  statistic: number | null;
  df: number | null;
  p: number | null;
}
