/**
 * Compares two texts by code point, the order in which the project sorts names, ids and checkpoints at the same km
 * (`A` < `A (clip)` < `A1` < `a`). JavaScript's own `<` compares UTF-16 units, which differs above U+FFFF.
 *
 * @returns negative, 0 or positive, for `Array.prototype.sort`
 */
export function compareCodePoints(a: string, b: string): number {
  if (a === b) return 0;
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i += 1) {
    const x = a.charCodeAt(i);
    const y = b.charCodeAt(i);
    if (x === y) continue;
    const xSurrogate = x >= 0xd800 && x <= 0xdfff;
    const ySurrogate = y >= 0xd800 && y <= 0xdfff;
    // A surrogate stands for a code point above every unit that is none.
    if (xSurrogate !== ySurrogate) return xSurrogate ? 1 : -1;
    return x - y;
  }
  return a.length - b.length;
}
