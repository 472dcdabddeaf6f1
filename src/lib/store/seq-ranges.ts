/** Whole numbers from the first to the last, both included. */
export type SeqRange = readonly [from: number, to: number];

/** The ranges with the given numbers added: ascending, apart from each other by at least one number. */
export function addSeqs(ranges: readonly SeqRange[], seqs: readonly number[]): SeqRange[] {
  const all = [...ranges, ...seqs.map((seq): SeqRange => [seq, seq])].sort((a, b) => a[0] - b[0]);
  const joined: SeqRange[] = [];
  for (const [from, to] of all) {
    const last = joined.at(-1);
    if (last && from <= last[1] + 1) joined[joined.length - 1] = [last[0], Math.max(last[1], to)];
    else joined.push([from, to]);
  }
  return joined;
}

/** How many numbers the ranges hold. */
export function countSeqs(ranges: readonly SeqRange[]): number {
  return ranges.reduce((count, [from, to]) => count + to - from + 1, 0);
}

/** What lies between the ranges, from after `after` up to `last`. */
export function gapsBetween(ranges: readonly SeqRange[], after: number, last: number): SeqRange[] {
  const gaps: SeqRange[] = [];
  let next = after + 1;
  for (const [from, to] of ranges) {
    if (from > last) break;
    if (from > next) gaps.push([next, from - 1]);
    next = Math.max(next, to + 1);
  }
  if (next <= last) gaps.push([next, last]);
  return gaps;
}
