import { chiSquareUpperTail } from '../distributions.ts';
import { requireStudies, weightedFit, weightedSquares, type Studies } from './random-effects-fit.ts';

export interface CochranHeterogeneity {
  readonly method: 'Cochran Q for heterogeneity between studies';
  readonly n: number;
  readonly statistic: number;
  readonly df: number;
  readonly p: number;
}

/**
 * Whether several studies differ by more than their own errors: Q = Σ (y − μ)²/v with μ weighted by 1/v, chi-square on
 * k − 1.
 *
 * Source: W. G. Cochran, Biometrics 10 (1954) 101-129.
 *
 * @param studies at least two; else a RangeError
 *
 * @example
 * cochranHeterogeneity({ estimate: [0, 1], variance: [0.1, 0.1] }); // { statistic: 5, df: 1, p: 0.0253 }
 */
export function cochranHeterogeneity(studies: Pick<Studies, 'estimate' | 'variance'>): CochranHeterogeneity {
  requireStudies(studies, 2);
  const statistic = weightedSquares(weightedFit(studies, 0));
  const df = studies.estimate.length - 1;
  return Object.freeze({
    method: 'Cochran Q for heterogeneity between studies',
    n: studies.estimate.length,
    statistic,
    df,
    p: chiSquareUpperTail(statistic, df),
  });
}
