import type { CheckDevice, CheckInput, CheckSighting } from '../../lib/check/input/check-input.ts';
import { EMPTY_CHECK_INPUT } from '../../lib/check/input/check-input.ts';
import type { PassageTable } from '../../lib/clips/passage.ts';
import { listsForCheck } from '../../lib/check/input/lists-for-check.ts';
import { sightingsForCheck } from '../../lib/check/input/sightings-for-check.ts';
import { FOOT_VALUES, GAITS } from '../../lib/records/foot.ts';
import type { ResultRow, StartListRow } from '../../lib/race/race.ts';
import {
  gaitOf,
  isPassed,
  isTimeEstimated,
  leftOf,
  methodOf,
  rightOf,
  SIGHTING_METHODS,
} from '../../lib/sightings/seen.ts';
import { type SightingTable } from '../../lib/sightings/sighting-table.ts';
import type { SightingOrigins } from '../../lib/tables/sightings/sighting-origins.ts';

/** What a check of tables is told beside them. */
export interface TableBackground {
  readonly origins: SightingOrigins;
  readonly startList: readonly StartListRow[] | null;
  readonly results: readonly ResultRow[] | null;
  /** What was marked in clips; `null` without a table of marks. */
  readonly passages: PassageTable | null;
  readonly startMs: number | null;
  readonly finishClock: 'gun' | 'net' | null;
  readonly raceKm: number | null;
}

/** The input of a check from a sightings table and an organiser's lists. Checkpoints go by their names. */
export function inputOfTables(table: SightingTable, background: TableBackground): CheckInput {
  const { origins, startList, results, passages, startMs, finishClock, raceKm } = background;
  const sightings: CheckSighting[] = [];
  const offsetsMs = new Map<string, number>();
  // Their marks take numbers too, and stand in another table: a hole in their counting is no loss.
  const reviewers = new Set<string>();
  const devices = new Map<string, { observer: string; seqs: number[] }>();
  for (let row = 0; row < table.size; row += 1) {
    const id = table.recordId(row);
    const bib = table.bib[row]!;
    const seen = table.seen[row]!;
    const observer = table.observers[table.observer[row]!]!;
    const origin = origins.of(row);
    sightings.push({
      ...{ id, checkpoint: table.checkpoint[row]!, bib: bib < 0 ? null : table.bibs[bib]!, observer },
      ...{ gait: GAITS[gaitOf(seen)]!, left: FOOT_VALUES[leftOf(seen)]!, right: FOOT_VALUES[rightOf(seen)]! },
      ...{ method: SIGHTING_METHODS[methodOf(seen)]!, atMs: table.observedAtMs[row]! },
      ...(isPassed(seen) ? { passed: true } : {}),
      ...(isTimeEstimated(seen) ? { timeEstimated: true } : {}),
      ...(origin ? { device: origin.device } : {}),
    });
    if (!origin) continue;
    if (origin.offsetMs !== null) offsetsMs.set(origin.device, origin.offsetMs);
    if (SIGHTING_METHODS[methodOf(seen)] === 'clip') reviewers.add(origin.device);
    if (origin.seq === null) continue;
    const known = devices.get(origin.device);
    if (known) known.seqs.push(origin.seq);
    else devices.set(origin.device, { observer, seqs: [origin.seq] });
  }
  return {
    ...EMPTY_CHECK_INPUT,
    checkpoints: table.checkpoints.map(({ name, km }) => ({ id: name, name, km })),
    sightings: sightingsForCheck(sightings),
    ...listsForCheck(startList, results),
    ...{ passages, startMs, finishClock, raceKm, offsetsMs },
    devices: [...devices].flatMap(([device, own]): CheckDevice[] =>
      reviewers.has(device) ? [] : [{ device, ...own }],
    ),
  };
}
