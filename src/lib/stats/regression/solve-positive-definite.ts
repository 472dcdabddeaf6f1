/**
 * Solves A·x = b for a symmetric positive definite matrix by Cholesky decomposition.
 *
 * For the small systems of a few unknowns that tests on tables lead to. `null` where A is not positive definite to
 * working precision. Square matrix of finite numbers, b as long as A; neither is changed.
 *
 * Source: G. H. Golub, C. F. Van Loan, Matrix Computations, section on Cholesky factorisation.
 *
 * @example
 * solvePositiveDefinite([[4, 2], [2, 3]], [2, 1]); // [0.5, 0]
 */
export function solvePositiveDefinite(
  matrix: readonly (readonly number[])[],
  right: readonly number[],
): number[] | null {
  const n = right.length;
  const lower = matrix.map((row) => [...row]);
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = lower[i]![j]!;
      for (let k = 0; k < j; k++) sum -= lower[i]![k]! * lower[j]![k]!;
      if (i > j) lower[i]![j] = sum / lower[j]![j]!;
      else if (sum > 1e-14 * matrix[j]![j]!) lower[j]![j] = Math.sqrt(sum);
      else return null;
    }
  }
  const x = [...right];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= lower[i]![k]! * x[k]!;
    x[i]! /= lower[i]![i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= lower[k]![i]! * x[k]!;
    x[i]! /= lower[i]![i]!;
  }
  return x;
}
