import { CLIP, isPassed, methodOf, RULING } from './seen.ts';
import { type SightingTable } from './sighting-table.ts';

/**
 * The sightings that count, after steps 1 and 2 of the resolution: those that were not let pass and have a bib, and of one observer's entries for
 * one bib at one checkpoint by one method only the latest (of equal instants the one with the greater record id).
 * Rulings count as of one observer, whoever wrote them.
 */
export interface UsedSightings {
  /** Rows of the table, sorted by bib, checkpoint, rater. */
  readonly rows: Int32Array;
  /** Left out: let pass by the sampling rule, not looked at. */
  readonly passed: number;
  /** Left out: no bib. */
  readonly noBib: number;
  /** Left out: a later entry of the same observer stands. */
  readonly repeats: number;
}

/** Who judged: each observer twice (live, clip), and one more for all rulings. Live and clip count as two raters. */
export function raterOf(table: SightingTable, row: number): number {
  const method = methodOf(table.seen[row]!);
  return method === RULING ? table.observers.length * 2 : table.observer[row]! * 2 + (method === CLIP ? 1 : 0);
}

/** Rows sorted by their keys (0 … keys − 1; `keyOf[i]` is the key of `rows[i]`), equal ones in the order they had: a counting sort, linear. */
function sortedBy(rows: Int32Array, keyOf: Int32Array, keys: number): Int32Array {
  const next = new Int32Array(keys + 1);
  for (let i = 0; i < keyOf.length; i += 1) next[keyOf[i]! + 1]! += 1;
  for (let k = 1; k <= keys; k += 1) next[k]! += next[k - 1]!;
  const sorted = new Int32Array(rows.length);
  for (let i = 0; i < rows.length; i += 1) {
    const k = keyOf[i]!;
    sorted[next[k]!] = rows[i]!;
    next[k]! += 1;
  }
  return sorted;
}

/** Rows by bib, checkpoint and rater. Least key first: each sort keeps the order of the one before. */
function inOrder(rows: Int32Array, table: SightingTable): Int32Array {
  const raters = table.observers.length * 2 + 1;
  const places = table.checkpoints.length;
  const keyOf = new Int32Array(rows.length);
  let sorted = rows;
  // Checkpoint and rater are one key while that has fewer values than there are rows to walk through.
  const together = raters * places <= Math.max(rows.length, 1024);
  for (let i = 0; i < sorted.length; i += 1) {
    const row = sorted[i]!;
    keyOf[i] = raterOf(table, row) + (together ? table.checkpoint[row]! * raters : 0);
  }
  sorted = sortedBy(sorted, keyOf, together ? raters * places : raters);
  if (!together) {
    for (let i = 0; i < sorted.length; i += 1) keyOf[i] = table.checkpoint[sorted[i]!]!;
    sorted = sortedBy(sorted, keyOf, places);
  }
  for (let i = 0; i < sorted.length; i += 1) keyOf[i] = table.bib[sorted[i]!]!;
  return sortedBy(sorted, keyOf, table.bibs.length);
}

function isLater(table: SightingTable, a: number, b: number): boolean {
  const difference = table.observedAtMs[a]! - table.observedAtMs[b]!;
  return difference > 0 || (difference === 0 && table.compareRecordIds(a, b) > 0);
}

/** Steps 1 and 2. Cost linear in the rows, however they are spread over bibs, checkpoints and observers. */
export function usedSightings(table: SightingTable): UsedSightings {
  const { bib, checkpoint } = table;
  let withBib = 0;
  let passed = 0;
  let rows: Int32Array = new Int32Array(table.size);
  for (let row = 0; row < table.size; row += 1) {
    if (isPassed(table.seen[row]!)) {
      passed += 1;
      continue;
    }
    if (bib[row]! < 0) continue;
    rows[withBib] = row;
    withBib += 1;
  }
  rows = rows.subarray(0, withBib);
  rows = inOrder(rows, table);

  let kept = 0;
  let [heldBib, heldCheckpoint, heldRater] = [-1, -1, -1];
  for (const row of rows) {
    const rater = raterOf(table, row);
    if (bib[row] === heldBib && checkpoint[row] === heldCheckpoint && rater === heldRater) {
      if (isLater(table, row, rows[kept - 1]!)) rows[kept - 1] = row;
      continue;
    }
    rows[kept] = row;
    kept += 1;
    [heldBib, heldCheckpoint, heldRater] = [bib[row]!, checkpoint[row]!, rater];
  }
  return { rows: rows.slice(0, kept), passed, noBib: table.size - passed - withBib, repeats: withBib - kept };
}
