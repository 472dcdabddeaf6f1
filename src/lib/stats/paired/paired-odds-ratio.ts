import { clopperPearsonInterval } from '../proportions/clopper-pearson-interval.ts';
import { ratioOrNull } from '../finite-or-null.ts';
import type { Interval } from '../interval.ts';
import { requireCount, requireLevel } from '../require-number.ts';

export interface PairedOddsRatio extends Interval {
  readonly method: 'Odds ratio of discordant pairs with Clopper–Pearson interval';
  /** Discordant pairs. */
  readonly n: number;
  /** b ÷ c. */
  readonly oddsRatio: number | null;
}

/**
 * Odds ratio of paired observations, b ÷ c, with an exact interval.
 *
 * How many pairs gained a property for each that lost it (the conditional maximum likelihood estimate). The interval
 * is that of the share b/(b+c), π → π/(1 − π), by Clopper and Pearson.
 *
 * Counts are whole and at least 0, the level between 0 and 1, else a RangeError. With b + c = 0 all is `null`; with
 * c = 0 ratio and upper end are infinite, so `null`; with b = 0 ratio and lower end are 0.
 *
 * Source: N. E. Breslow, N. E. Day, Statistical Methods in Cancer Research 1 (1980), section 5.2.
 *
 * @example
 * pairedOddsRatio(6, 16); // { oddsRatio: 0.375, low: 0.12, high: 1.01, … }
 */
export function pairedOddsRatio(gained: number, lost: number, level = 0.95): PairedOddsRatio {
  requireCount(gained, 'gained');
  requireCount(lost, 'lost');
  requireLevel(level);
  const method = 'Odds ratio of discordant pairs with Clopper–Pearson interval';
  const n = gained + lost;
  if (n === 0) return Object.freeze({ method, n, oddsRatio: null, low: null, high: null });
  // The upper end is the lower end of the mirrored share: odds near 1 keep their digits that way.
  const share = clopperPearsonInterval(gained, n, level);
  const mirrored = clopperPearsonInterval(lost, n, level);
  return Object.freeze({
    method,
    n,
    oddsRatio: ratioOrNull(gained, lost),
    low: ratioOrNull(share.low!, mirrored.high!),
    high: ratioOrNull(share.high!, mirrored.low!),
  });
}
