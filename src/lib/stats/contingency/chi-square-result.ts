import { chiSquareUpperTail } from '../distributions.ts';

/** What every test against a chi-square distribution returns. All three are `null` where no degree of freedom is left. */
export interface ChiSquareResult {
  readonly statistic: number | null;
  /** Degrees of freedom. */
  readonly df: number | null;
  /** Pr(χ² > statistic), taken in the upper tail directly. */
  readonly p: number | null;
}

export const NO_CHI_SQUARE: ChiSquareResult = Object.freeze({ statistic: null, df: null, p: null });

/** Statistic and degrees of freedom with their p-value; all `null` where they do not exist. */
export function chiSquareResult(statistic: number, df: number): ChiSquareResult {
  if (!(df > 0) || !Number.isFinite(statistic)) return NO_CHI_SQUARE;
  return Object.freeze({ statistic, df, p: chiSquareUpperTail(statistic, df) });
}
