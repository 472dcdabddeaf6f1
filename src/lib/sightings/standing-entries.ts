import type { Projection, ProjectedRuling } from '../records/projection.ts';
import type { Ruling, Sighting } from '../records/record.ts';
import type { SeenRunner } from '../records/seen-runner.ts';
import type { SightingMethod } from './seen.ts';

/** A sighting or ruling that counts, as a row of the sightings table says it. */
export interface StandingEntry extends SeenRunner {
  readonly record: Sighting | Ruling;
  /** Checkpoint id. */
  readonly checkpoint: string;
  readonly method: SightingMethod;
  /** A ruling is observed when it is made. */
  readonly observedAt: string;
  /** Let pass by the sampling rule. */
  readonly passed: boolean;
  readonly timeEstimated: boolean;
}

/** What stands, by record id: sightings and rulings, corrected, the withdrawn ones left out. `entriesOf` gives what counts. */
export function* standingEntries({ sightings, rulings }: Projection): Generator<StandingEntry> {
  const waiting = rulings.filter((ruling) => !ruling.withdrawn);
  let next = 0;
  for (const { record, checkpoint, bib, gait, left, right, passed, withdrawn } of sightings) {
    if (withdrawn) continue;
    for (let ruling = waiting[next]; ruling && ruling.record.id < record.id; ruling = waiting[next]) {
      yield rulingEntry(ruling);
      next += 1;
    }
    const { method, observedAt, timeEstimated = false } = record;
    yield { record, checkpoint, bib, gait, left, right, method, observedAt, passed, timeEstimated };
  }
  for (const ruling of waiting.slice(next)) yield rulingEntry(ruling);
}

const NO_MARKS = { passed: false, timeEstimated: false } as const;

function rulingEntry({ record }: ProjectedRuling): StandingEntry {
  const { checkpoint, bib, gait = 'run', left, right, madeAt } = record;
  return { record, checkpoint, bib, gait, left, right, method: 'ruling', observedAt: madeAt, ...NO_MARKS };
}
