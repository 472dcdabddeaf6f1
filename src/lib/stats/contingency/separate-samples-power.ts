import { chiSquareUpperQuantile } from '../distributions.ts';
import { noncentralChiSquareUpperTail } from '../noncentral-chi-square.ts';

/** Shares closer than this, as a noncentrality of one unit in each sample, are equal. */
const EQUAL = 1e-15;

export interface SeparateSamplesPower {
  /** Classes with any share, less 1. */
  readonly df: number | null;
  readonly noncentrality: number | null;
  readonly power: number | null;
  /** The smallest size, the same in both samples, that reaches the power asked for. */
  readonly needed: number | null;
}

/**
 * Power of Pearson's chi-square test for two separate samples whose class shares differ.
 *
 * From the non-central chi-square distribution with noncentrality Σ n_i(p_ij − p̄_j)²/p̄_j, p̄ the shares weighted by the
 * sample sizes.
 *
 * Source: J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), chapter 7.
 *
 * @param sizes of the two samples; with an empty one noncentrality and power are `null`
 * @param shares of the classes in either sample, each adding up to 1; one class only: all is `null`
 *   With equal shares the power is α and `needed` `null`.
 *
 * @example
 * separateSamplesPower([77, 77], [[0.5, 0.5], [0.75, 0.25]], 0.05, 0.9).needed; // 79
 */
export function separateSamplesPower(
  sizes: readonly [number, number],
  shares: readonly [readonly number[], readonly number[]],
  alpha: number,
  power: number,
): SeparateSamplesPower {
  const [first, second] = shares;
  const df = first.filter((share, j) => share + second[j]! > 0).length - 1;
  if (df < 1) return { df: null, noncentrality: null, power: null, needed: null };
  const limit = chiSquareUpperQuantile(alpha, df);
  const reached = (noncentrality: number): number => noncentralChiSquareUpperTail(limit, df, noncentrality);
  const noncentrality = sizes[0] > 0 && sizes[1] > 0 ? noncentralityOf(sizes, shares) : null;
  const each = noncentralityOf([1, 1], shares);
  return {
    df,
    noncentrality,
    power: noncentrality === null ? null : reached(noncentrality),
    needed: each > EQUAL ? smallestSize((n) => reached(n * each) >= power) : null,
  };
}

function noncentralityOf(
  [n1, n2]: readonly [number, number],
  [first, second]: readonly [readonly number[], readonly number[]],
): number {
  let sum = 0;
  for (const [j, share] of first.entries()) {
    const other = second[j]!;
    const mean = (n1 * share + n2 * other) / (n1 + n2);
    if (mean > 0) sum += (n1 * (share - mean) ** 2 + n2 * (other - mean) ** 2) / mean;
  }
  return sum;
}

/** Where `enough` turns true: doubled until it is, then halved between. */
function smallestSize(enough: (n: number) => boolean): number {
  let high = 1;
  while (!enough(high)) high *= 2;
  let low = Math.floor(high / 2);
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return high;
}
