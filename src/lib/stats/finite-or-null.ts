/**
 * The answer of this folder to a figure that does not exist: 0 ÷ 0, a ratio to nothing, a logarithm of 0. It is `null`,
 * never NaN and never Infinity, which JSON cannot hold.
 */
export function finiteOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

/** a ÷ b, or null where b is 0. */
export function ratioOrNull(a: number, b: number): number | null {
  return finiteOrNull(a / b);
}
