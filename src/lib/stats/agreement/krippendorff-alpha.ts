import { requireCount } from '../require-number.ts';

/** Ratings one below the other: which unit, by which rater, in which class. A missing rating is simply not there. */
export interface Ratings {
  /** 0 to unitCount − 1. */
  readonly unit: ArrayLike<number>;
  /** 0 to raterCount − 1. */
  readonly rater: ArrayLike<number>;
  /** 0 to classCount − 1. */
  readonly class: ArrayLike<number>;
  readonly unitCount: number;
  readonly raterCount: number;
  readonly classCount: number;
  /** How many units are like each one in every rating, itself included; by default 1. */
  readonly alike?: ArrayLike<number>;
}

export interface KrippendorffResult {
  readonly method: 'Krippendorff alpha, nominal';
  /** Ratings in units with two or more. */
  readonly n: number;
  readonly estimate: number | null;
  /** Units with two or more ratings; the others say nothing about agreement. */
  readonly units: number;
  /** Raters with a rating in one of those units. */
  readonly raters: number;
}

/**
 * Krippendorff's alpha for nominal classes: agreement of any number of raters, gaps allowed.
 *
 * 1 is full agreement, 0 what chance would give. α = 1 − (n − 1)·Σ_u (m_u² − Σ_c n_uc²)/(m_u − 1) ÷ (n² − Σ_c n_c²) over
 * the units with m_u ≥ 2 ratings, n_uc of them class c, n = Σ m_u, n_c = Σ_u n_uc.
 *
 * `estimate` is `null` without such a unit, or where only one class occurs in them. Each rater rates a unit once; that
 * is not checked. Cost grows linearly with the ratings.
 *
 * Source: K. Krippendorff, Content Analysis (2004), chapter 11.
 *
 * @throws RangeError for lengths that differ, or a unit, rater or class out of range
 *
 * @example
 * // Three raters, two units: the first is rated 0, 0, 1, the second 1, 1 by two of them.
 * krippendorffAlpha({ unit: [0, 0, 0, 1, 1], rater: [0, 1, 2, 0, 2], class: [0, 0, 1, 1, 1],
 *   unitCount: 2, raterCount: 3, classCount: 2 }); // { estimate: 0.333, units: 2, raters: 3, … }
 */
export function krippendorffAlpha(ratings: Ratings): KrippendorffResult {
  const { unit, rater, class: classes, unitCount, raterCount, classCount, alike } = ratings;
  const length = unit.length;
  if (rater.length !== length || classes.length !== length || (alike?.length ?? unitCount) !== unitCount) {
    throw new RangeError('unit, rater, class and the counts of units differ in length');
  }
  const counts = new Int32Array(requireCount(unitCount, 'unitCount') * requireCount(classCount, 'classCount'));
  const ratingsOf = new Int32Array(unitCount);
  for (let i = 0; i < length; i++) {
    if (!(unit[i]! < unitCount && rater[i]! < raterCount && classes[i]! < classCount)) {
      throw new RangeError(`rating ${String(i)} has a unit, rater or class that is out of range`);
    }
    counts[unit[i]! * classCount + classes[i]!]!++;
    ratingsOf[unit[i]!]!++;
  }
  const heldRaters = new Uint8Array(requireCount(raterCount, 'raterCount'));
  for (let i = 0; i < length; i++) if (ratingsOf[unit[i]!]! > 1) heldRaters[rater[i]!] = 1;

  const totals = new Float64Array(classCount);
  let units = 0;
  let n = 0;
  let disagreement = 0;
  for (let u = 0; u < unitCount; u++) {
    const m = ratingsOf[u]!;
    if (m < 2) continue;
    const times = alike?.[u] ?? 1;
    units += times;
    n += times * m;
    let squares = 0;
    for (let c = 0; c < classCount; c++) {
      const count = counts[u * classCount + c]!;
      squares += count * count;
      totals[c]! += times * count;
    }
    disagreement += (times * (m * m - squares)) / (m - 1);
  }
  const expected = n * n - totals.reduce((sum, total) => sum + total * total, 0);
  return Object.freeze({
    method: 'Krippendorff alpha, nominal',
    n,
    estimate: expected === 0 ? null : 1 - ((n - 1) * disagreement) / expected,
    units,
    raters: heldRaters.reduce((sum, held) => sum + held, 0),
  });
}
