import { runnerClasses, type RunnerClasses, type SingleFootRule } from '../sightings/runner-classes.ts';
import type { SightingTable } from '../sightings/sighting-table.ts';
import { usedSightings, type UsedSightings } from '../sightings/used-sightings.ts';

/** A race's sightings, resolved: what every section of the findings counts from. */
export interface ResolvedRace {
  readonly table: SightingTable;
  readonly used: UsedSightings;
  readonly classes: RunnerClasses;
}

export function resolveRace(table: SightingTable, singleFoot: SingleFootRule): ResolvedRace {
  const used = usedSightings(table);
  return { table, used, classes: runnerClasses(table, used, singleFoot) };
}
