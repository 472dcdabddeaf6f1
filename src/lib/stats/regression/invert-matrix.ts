/**
 * The inverse of a small square matrix by Gauss–Jordan elimination with row exchange; `null` where it has none to working
 * precision. The matrix is not changed. Finite numbers, rows as long as the matrix is high.
 *
 * Source: G. H. Golub, C. F. Van Loan, Matrix Computations, section on pivoting.
 *
 * @example
 * invertMatrix([[0.9, 0.1], [0.2, 0.8]]); // [[1.1429, -0.1429], [-0.2857, 1.2857]]
 */
export function invertMatrix(matrix: readonly (readonly number[])[]): number[][] | null {
  const n = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  const size = Math.max(...matrix.flat().map(Math.abs), 0);
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(rows[i]![k]!) > Math.abs(rows[best]![k]!)) best = i;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]![k]!;
    if (!(Math.abs(pivot) > 1e-14 * size)) return null;
    rows[k] = rows[k]!.map((value) => value / pivot);
    for (let i = 0; i < n; i++) {
      const factor = rows[i]![k]!;
      if (i !== k && factor !== 0) rows[i] = rows[i]!.map((value, j) => value - factor * rows[k]![j]!);
    }
  }
  return rows.map((row) => row.slice(n));
}
