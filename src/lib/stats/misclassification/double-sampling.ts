import { requireCount, requireLevel } from '../require-number.ts';
import { scoreIntervalOfShare } from '../proportions/score-interval-of-share.ts';

/** With fewer validated units than this a stratum tells nothing of its errors' spread (contract of the figures). */
const LEAST_VALIDATED = 2;
/** A standard error below this is rounding. */
const ROUNDING = 1e-12;

/** The units of one first reading. */
export interface ReadingStratum {
  /** Units read so the first time, validated or not. */
  readonly sampled: number;
  /** Of those read again without error, how many proved to be of each class; at most `sampled` together. */
  readonly truth: readonly number[];
}

export interface DoubleSamplingShare {
  readonly share: number;
  readonly se: number;
  readonly low: number;
  readonly high: number;
}

export interface DoubleSamplingResult {
  readonly method: 'Double sampling: shares from fallible readings of all and true readings of some';
  /** Units in all strata. */
  readonly n: number;
  /** Validated units in all strata. */
  readonly validated: number;
  /** One for each class. */
  readonly shares: readonly DoubleSamplingShare[];
  /**
   * What one unit adds to the estimated share of a class, n times: its influence. The sum of squares over all units is
   * n²·se². `truth` is the unit's true class, or `null` where it was not validated.
   */
  influence(stratum: number, truth: number | null, kind: number): number;
}

/**
 * True shares of classes when every unit was read once with errors and a random part of them again without.
 *
 * For a cheap reading of all and a dear one of some. With w_j the share of the units whose first reading is stratum j and
 * θ_ij the share of true class i among its n_j validated units: p_i = Σ_j w_j θ_ij, and
 * se² = Σ_j w_j² θ_ij(1 − θ_ij)/n_j + Σ_j w_j(θ_ij − p_i)²/N. The interval is Wilson's about p_i with n = m(1 − m)/V, where
 * m and V are p_i and se² with (n_ij + ½)/(n_j + 1) in place of θ_ij: so there is one also where no error was found.
 *
 * Within each stratum the validated must be a random part; how large a part may differ between strata.
 *
 * A stratum without units counts for nothing. `null` without a unit, or when a stratum that has units has fewer than two
 * validated ones.
 *
 * Source: A. Tenenbein, J. Am. Stat. Assoc. 65 (1970) 1350-1361 and Technometrics 14 (1972) 187-202.
 *
 * @throws RangeError for counts that are not whole and at least 0, more validated than sampled, or rows of unequal length
 *
 * @example
 * doubleSampling([{ sampled: 80, truth: [9, 1] }, { sampled: 20, truth: [1, 4] }])?.shares[1]; // { share: 0.24, se: 0.0885, … }
 */
export function doubleSampling(strata: readonly ReadingStratum[], level = 0.95): DoubleSamplingResult | null {
  requireLevel(level);
  requireStrata(strata);
  const n = strata.reduce((sum, { sampled }) => sum + sampled, 0);
  const size = strata.map(({ truth }) => truth.reduce((sum, count) => sum + count, 0));
  const held = strata.flatMap(({ sampled }, j) => (sampled > 0 ? [j] : []));
  if (n === 0 || held.some((j) => size[j]! < LEAST_VALIDATED)) return null;
  const weight = strata.map(({ sampled }) => sampled / n);
  /** Share and variance of a class, with `extra` added to each count of a row. */
  const estimate = (kind: number, extra: number): { share: number; variance: number; theta: number[] } => {
    const theta = strata.map(({ truth }, j) => (truth[kind]! + extra) / (size[j]! + 2 * extra));
    const share = held.reduce((sum, j) => sum + weight[j]! * theta[j]!, 0);
    const variance = held.reduce((sum, j) => {
      const t = theta[j]!;
      return sum + (weight[j]! ** 2 * t * (1 - t)) / size[j]! + (weight[j]! * (t - share) ** 2) / n;
    }, 0);
    return { share, variance, theta };
  };
  const kinds = strata[0]!.truth.map((_, kind) => ({ plain: estimate(kind, 0), smooth: estimate(kind, 0.5) }));
  return Object.freeze({
    method: 'Double sampling: shares from fallible readings of all and true readings of some',
    n,
    validated: size.reduce((sum, count) => sum + count, 0),
    shares: kinds.map(({ plain, smooth }) => {
      const se = Math.sqrt(plain.variance);
      const worth = (smooth.share * (1 - smooth.share)) / smooth.variance;
      // Rounding may carry a sum of shares past 1 by a last digit.
      const share = Math.min(1, plain.share);
      return Object.freeze({ share, se: se < ROUNDING ? 0 : se, ...scoreIntervalOfShare(share, worth, level) });
    }),
    influence(stratum: number, truth: number | null, kind: number): number {
      const { share, theta } = kinds[kind]!.plain;
      const own = theta[stratum]! - share;
      if (truth === null) return own;
      return own + (strata[stratum]!.sampled / size[stratum]!) * ((truth === kind ? 1 : 0) - theta[stratum]!);
    },
  });
}

function requireStrata(strata: readonly ReadingStratum[]): void {
  const classes = strata[0]?.truth.length ?? 0;
  for (const [j, { sampled, truth }] of strata.entries()) {
    requireCount(sampled, `sampled of stratum ${String(j)}`);
    if (truth.length !== classes) {
      throw new RangeError(`stratum ${String(j)} has ${String(truth.length)} classes; expected ${String(classes)}`);
    }
    const validated = truth.reduce((sum, count) => sum + requireCount(count, `truth of stratum ${String(j)}`), 0);
    if (validated > sampled) {
      throw new RangeError(`stratum ${String(j)} has ${String(validated)} validated of ${String(sampled)} units`);
    }
  }
}
