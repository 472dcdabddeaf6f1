import { succeeded, type Attempt } from '../records/attempt.ts';
import { readNamedRows, type TableFaults } from './csv/named-rows.ts';

const REQUIRED = ['race', 'sightings'] as const;
const OPTIONAL = ['results', 'early', 'late'] as const;
type Column = (typeof REQUIRED)[number] | (typeof OPTIONAL)[number];

/** One race of a list of races: its tables, as paths, and the checkpoints to compare. */
export interface RaceListRow {
  readonly race: string;
  readonly sightings: string;
  readonly results: string | null;
  readonly early: string | null;
  readonly late: string | null;
}

/** Reads a list of races. A name that stands twice is a fault. */
export function readRacesList(bytes: Uint8Array): Attempt<RaceListRow[], TableFaults> {
  const races: RaceListRow[] = [];
  const rowOf = new Map<string, number>();
  const read = readNamedRows<Column>(bytes, REQUIRED, OPTIONAL, (row) => {
    const race = row.filled('race');
    const sightings = row.filled('sightings');
    if (race === null || sightings === null) return;
    const earlier = rowOf.get(race);
    if (earlier !== undefined) {
      row.fault('race', `is in row ${earlier} already: a name stands for one race`, race);
      return;
    }
    rowOf.set(race, row.row);
    const optional = (column: Column): string | null => row.text(column) || null;
    races.push({ race, sightings, results: optional('results'), early: optional('early'), late: optional('late') });
  });
  return read.ok ? succeeded(races) : read;
}
