import { tQuantile, tUpperTail } from '../distributions.ts';
import { finiteOrNull, ratioOrNull } from '../finite-or-null.ts';
import { requireLevel, requireNumber } from '../require-number.ts';

export interface LeastSquaresTerm {
  /** Index of the column; −1 is the intercept. */
  readonly column: number;
  readonly estimate: number;
  readonly se: number | null;
  readonly t: number | null;
  /** Two-sided, from Student's t with the residual degrees of freedom. */
  readonly p: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface LeastSquaresResult {
  readonly method: 'Ordinary least squares by Householder reflections';
  readonly n: number;
  /** Residual degrees of freedom: n − terms kept. */
  readonly df: number;
  /** Share of the variance about the mean that the terms explain. */
  readonly rSquared: number | null;
  /** Share that they leave over; near 1 − rSquared it has the digits that rSquared has lost. */
  readonly residualShare: number | null;
  /** Intercept first, then the columns in the order given, without those left out. */
  readonly terms: readonly LeastSquaresTerm[];
  /** Columns that earlier terms determine, which are therefore left out. */
  readonly dropped: readonly number[];
}

/** A column is taken as determined by earlier ones when less than this share of its length is left over. */
const DETERMINED = 1e-7;

/**
 * Ordinary least squares of a response on an intercept and columns.
 *
 * By Householder QR, which works on the data themselves and not on their cross products, so that nearly dependent
 * columns keep twice as many digits. A column that earlier terms determine (a constant one, a copy, a sum of dummies)
 * is left out and named in `dropped`.
 *
 * Source: G. H. Golub, C. F. Van Loan, Matrix Computations, sections 5.2 and 5.3; the rule for columns left out is that
 * of R's lm.
 *
 * @param response y, one finite number for each observation
 * @param columns the terms, each as long as the response
 * @param level confidence level of the intervals, estimate ± t·se
 * Without residual degrees of freedom, or with a perfect fit, what cannot be computed is `null`; an empty response has
 * no terms. Cost grows with n·columns².
 * @throws RangeError for lengths that differ or a value that is not finite
 *
 * @example
 * leastSquares([1, 3, 5, 7.5], [[0, 1, 2, 3]]).terms[1]; // { column: 0, estimate: 2.15, se: 0.0866, … }
 */
export function leastSquares(
  response: ArrayLike<number>,
  columns: readonly ArrayLike<number>[],
  level = 0.95,
): LeastSquaresResult {
  requireLevel(level);
  const n = response.length;
  const reflectors: Float64Array[] = [];
  const upper: Float64Array[] = []; // Column k of R, of length k + 1.
  const kept: number[] = [];
  const dropped: number[] = [];
  for (let column = -1; column < columns.length; column++) {
    const work = column < 0 ? new Float64Array(n).fill(1) : finiteCopy(columns[column]!, n, `column ${String(column)}`);
    const length = norm(work, 0);
    for (const [k, reflector] of reflectors.entries()) reflect(work, reflector, k);
    const k = reflectors.length;
    const left = norm(work, k);
    if (left === 0 || left < DETERMINED * length) {
      if (column >= 0) dropped.push(column);
      continue;
    }
    // The reflection that turns the rest of the column into (−sign·left, 0, 0, …).
    const reflector = work.slice(k);
    const corner = reflector[0]! >= 0 ? -left : left;
    reflector[0]! -= corner;
    const size = norm(reflector, 0);
    for (let i = 0; i < reflector.length; i++) reflector[i]! /= size;
    reflectors.push(reflector);
    const r = work.slice(0, k + 1);
    r[k] = corner;
    upper.push(r);
    kept.push(column);
  }
  const effects = finiteCopy(response, n, 'response');
  for (const [k, reflector] of reflectors.entries()) reflect(effects, reflector, k);
  const rank = kept.length;
  const df = n - rank;
  const residual = norm(effects, rank) ** 2;
  // The first effect is the intercept's; the others are what the terms explain about the mean.
  let explained = 0;
  for (let k = 1; k < rank; k++) explained += effects[k]! ** 2;

  const estimates = backSolve(upper, effects);
  refine(estimates, { response, columns, kept, reflectors, upper });
  const scale = df > 0 ? residual / df : NaN;
  const t = df > 0 ? tQuantile((1 + level) / 2, df) : NaN;
  const lengths = inverseRowLengths(upper);
  const terms = kept.map((column, k) => {
    const estimate = estimates[k]! + 0; // No −0.
    const se = Math.sqrt(scale) * lengths[k]!;
    const ratio = ratioOrNull(estimate, se);
    return Object.freeze({
      column,
      estimate,
      se: finiteOrNull(se),
      t: ratio,
      p: ratio === null ? null : 2 * tUpperTail(Math.abs(ratio), df),
      low: finiteOrNull(estimate - t * se),
      high: finiteOrNull(estimate + t * se),
    });
  });
  return Object.freeze({
    method: 'Ordinary least squares by Householder reflections',
    n,
    df,
    rSquared: ratioOrNull(explained, explained + residual),
    residualShare: ratioOrNull(residual, explained + residual),
    terms: Object.freeze(terms),
    dropped: Object.freeze(dropped),
  });
}

function finiteCopy(values: ArrayLike<number>, n: number, name: string): Float64Array {
  if (values.length !== n) throw new RangeError(`${name} has ${String(values.length)} values; expected ${String(n)}`);
  const copy = new Float64Array(values);
  for (const value of copy) requireNumber(value, name, -Number.MAX_VALUE, Number.MAX_VALUE);
  return copy;
}

/** Length of the part from an index on; scaled, so that no square overflows. */
function norm(values: Float64Array, from: number): number {
  let largest = 0;
  for (let i = from; i < values.length; i++) largest = Math.max(largest, Math.abs(values[i]!));
  if (largest === 0) return 0;
  let sum = 0;
  for (let i = from; i < values.length; i++) {
    const scaled = values[i]! / largest;
    sum += scaled * scaled;
  }
  return largest * Math.sqrt(sum);
}

/** Applies I − 2vv' to the part of the values from an index on. */
function reflect(values: Float64Array, unit: Float64Array, from: number): void {
  let dot = 0;
  for (let i = 0; i < unit.length; i++) dot += unit[i]! * values[from + i]!;
  for (let i = 0; i < unit.length; i++) values[from + i]! -= 2 * dot * unit[i]!;
}

interface Decomposed {
  readonly response: ArrayLike<number>;
  readonly columns: readonly ArrayLike<number>[];
  readonly kept: readonly number[];
  readonly reflectors: readonly Float64Array[];
  readonly upper: readonly Float64Array[];
}

/**
 * One step of iterative refinement: fits what the estimates leave over and adds it to them. The rounding of the first
 * solution goes with the size of the response, this one's with that of the residuals; an estimate near 0 beside a
 * response far from 0 would otherwise miss its last digits.
 */
function refine(estimates: Float64Array, { response, columns, kept, reflectors, upper }: Decomposed): void {
  const left = new Float64Array(response);
  for (const [k, column] of kept.entries()) {
    const estimate = estimates[k]!;
    const values = columns[column];
    for (let i = 0; i < left.length; i++) left[i]! -= estimate * (values ? values[i]! : 1);
  }
  for (const [k, reflector] of reflectors.entries()) reflect(left, reflector, k);
  backSolve(upper, left).forEach((correction, k) => (estimates[k]! += correction));
}

/** Solves R·x = right for the upper triangle held by columns. */
function backSolve(upper: readonly Float64Array[], right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from({ length: upper.length }, (_, k) => right[k]!);
  for (let k = upper.length - 1; k >= 0; k--) {
    x[k]! /= upper[k]![k]!;
    for (let i = 0; i < k; i++) x[i]! -= upper[k]![i]! * x[k]!;
  }
  return x;
}

/** Lengths of the rows of R⁻¹: the square roots of the diagonal of (X'X)⁻¹. */
function inverseRowLengths(upper: readonly Float64Array[]): Float64Array {
  const squares = new Float64Array(upper.length);
  for (let k = 0; k < upper.length; k++) {
    const unit = new Float64Array(upper.length);
    unit[k] = 1;
    for (const [i, value] of backSolve(upper, unit).entries()) squares[i]! += value * value;
  }
  return squares.map(Math.sqrt);
}
