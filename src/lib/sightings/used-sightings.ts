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
  // What the table says of each of these rows, side by side: who walks through them need not jump about in the table.
  /** Place in the table's `bibs`. */
  readonly bib: Int32Array;
  /** Place in the table's `checkpoints`. */
  readonly checkpoint: Int32Array;
  /** Who judged: see `raterOf`. */
  readonly rater: Int32Array;
  /** See `packSeen`. */
  readonly seen: Uint16Array;
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

/** The observer, as place in the table's `observers`, of a rater who made no ruling. */
export const observerOf = (rater: number): number => rater >> 1;

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
  const { bib } = table;
  let withBib = 0;
  let passed = 0;
  const rows = new Int32Array(table.size);
  for (let row = 0; row < table.size; row += 1) {
    if (isPassed(table.seen[row]!)) {
      passed += 1;
      continue;
    }
    if (bib[row]! < 0) continue;
    rows[withBib] = row;
    withBib += 1;
  }
  const latest = latestOfEach(inOrder(rows.subarray(0, withBib), table), table);
  return { ...latest, passed, noBib: table.size - passed - withBib, repeats: withBib - latest.rows.length };
}

/** Of rows sorted by bib, checkpoint and rater the latest of each that are alike in all three, in columns. */
function latestOfEach(sorted: Int32Array, table: SightingTable): UsedColumns {
  const columns = emptyColumns(sorted.length);
  const { rows, bib, checkpoint, rater, seen } = columns;
  let last = -1;
  for (let i = 0; i < sorted.length; i += 1) {
    const row = sorted[i]!;
    const by = raterOf(table, row);
    const repeated =
      last >= 0 && by === rater[last] && table.checkpoint[row] === checkpoint[last] && table.bib[row] === bib[last];
    if (repeated && !isLater(table, row, rows[last]!)) continue;
    if (!repeated) last += 1;
    rows[last] = row;
    bib[last] = table.bib[row]!;
    checkpoint[last] = table.checkpoint[row]!;
    rater[last] = by;
    seen[last] = table.seen[row]!;
  }
  return firstOf(columns, last + 1);
}

/** The sightings in use that were made by one method, in their order. */
export function usedBy(used: UsedSightings, method: number): UsedSightings {
  const columns = emptyColumns(used.rows.length);
  let size = 0;
  for (let i = 0; i < used.rows.length; i += 1) {
    if (methodOf(used.seen[i]!) !== method) continue;
    columns.rows[size] = used.rows[i]!;
    columns.bib[size] = used.bib[i]!;
    columns.checkpoint[size] = used.checkpoint[i]!;
    columns.rater[size] = used.rater[i]!;
    columns.seen[size] = used.seen[i]!;
    size += 1;
  }
  return { ...used, ...firstOf(columns, size) };
}

type UsedColumns = Pick<UsedSightings, 'rows' | 'bib' | 'checkpoint' | 'rater' | 'seen'>;

const emptyColumns = (length: number): UsedColumns => ({
  rows: new Int32Array(length),
  bib: new Int32Array(length),
  checkpoint: new Int32Array(length),
  rater: new Int32Array(length),
  seen: new Uint16Array(length),
});

const firstOf = ({ rows, bib, checkpoint, rater, seen }: UsedColumns, size: number): UsedColumns => ({
  rows: rows.subarray(0, size),
  bib: bib.subarray(0, size),
  checkpoint: checkpoint.subarray(0, size),
  rater: rater.subarray(0, size),
  seen: seen.subarray(0, size),
});
