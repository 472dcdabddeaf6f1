import { binomialDensity, binomialLowerTail, chiSquareUpperTail } from '../distributions.ts';
import { requireCount } from '../require-number.ts';

export interface McnemarResult {
  readonly method: 'McNemar test without continuity correction, with exact and mid-p values';
  /** Discordant pairs b + c: all that the test looks at. */
  readonly n: number;
  readonly statistic: number | null;
  readonly df: number | null;
  /** From the chi-square distribution. */
  readonly p: number | null;
  /** Two-sided binomial with ½. */
  readonly exactP: number | null;
  /** Twice the one-sided mid-p. */
  readonly midP: number | null;
}

/**
 * McNemar test for a change of a yes/no property in paired observations.
 *
 * Whether as many pairs gained the property as lost it; pairs that stayed as they were say nothing about that. Three
 * p-values, all two-sided: asymptotic, (b − c)²/(b + c) on one degree of freedom without continuity correction; exact,
 * from X ~ Bin(b + c, ½); and mid-p, exactP − Pr(X = b), which is 1 where b = c. With few discordant pairs the
 * asymptotic one is too small and the exact one too large; mid-p is the usual choice.
 *
 * Source: Q. McNemar, Psychometrika 12 (1947) 153-157; mid-p: M. W. Fagerland, S. Lydersen, P. Laake, BMC Medical
 * Research Methodology 13:91 (2013), save that they print 1 − Pr(X = b)/2 where b = c.
 *
 * @param gained b, pairs that changed one way; whole, at least 0
 * @param lost c, pairs that changed the other way
 * All is `null` with b + c = 0.
 * @throws RangeError for a count that is not whole and at least 0
 *
 * @example
 * mcnemarTest(6, 16); // { statistic: 4.545, df: 1, p: 0.0330, exactP: 0.0525, midP: 0.0347, … }
 */
export function mcnemarTest(gained: number, lost: number): McnemarResult {
  requireCount(gained, 'gained');
  requireCount(lost, 'lost');
  const method = 'McNemar test without continuity correction, with exact and mid-p values';
  const n = gained + lost;
  if (n === 0) return Object.freeze({ method, n, statistic: null, df: null, p: null, exactP: null, midP: null });
  const statistic = (gained - lost) ** 2 / n;
  const fewer = Math.min(gained, lost);
  const doubled = 2 * binomialLowerTail(fewer, n, 0.5);
  const equal = gained === lost;
  return Object.freeze({
    method,
    n,
    statistic,
    df: 1,
    p: chiSquareUpperTail(statistic, 1),
    exactP: equal ? 1 : Math.min(1, doubled),
    // Where both are near the least double the tail may round to 0 first.
    midP: equal ? 1 : Math.max(0, doubled - binomialDensity(fewer, n, 0.5)),
  });
}
