import { methodOf, RULING } from './seen.ts';
import { type SightingTable } from './sighting-table.ts';
import type { UsedSightings } from './used-sightings.ts';

/**
 * When each runner was first seen at each checkpoint, by the clock of the tablet, milliseconds since 1970: over the
 * sightings in use, rulings apart, since a ruling is made long after the runner has passed.
 *
 * @returns by `bib * table.checkpoints.length + checkpoint`, both as places in the table; nothing where only a ruling is
 */
export function firstSeen(table: SightingTable, used: UsedSightings): Map<number, number> {
  const places = table.checkpoints.length;
  const seen = new Map<number, number>();
  for (const row of used.rows) {
    if (methodOf(table.seen[row]!) === RULING) continue;
    const key = table.bib[row]! * places + table.checkpoint[row]!;
    const at = table.observedAtMs[row]!;
    if (at < (seen.get(key) ?? Infinity)) seen.set(key, at);
  }
  return seen;
}
