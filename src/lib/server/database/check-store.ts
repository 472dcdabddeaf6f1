import { existsSync } from 'node:fs';
import Database from 'better-sqlite3';
import { MIGRATIONS } from './migrations.ts';

/** What is in a store, and what is wrong with it. */
export interface StoreReport {
  readonly races: readonly { readonly name: string; readonly date: string; readonly records: number }[];
  /** One sentence each; none when the store is sound. */
  readonly faults: readonly string[];
}

const RACES = `
  select json_extract(races.setup, '$.name') as name, json_extract(races.setup, '$.date') as date,
    race_logs.last_arrival as lastArrival,
    (select count(*) from records where records.race_no = races.race_no) as records,
    (select max(arrival) from records where records.race_no = races.race_no) as greatest,
    (select count(*) from records where records.race_no = races.race_no
      and (not json_valid(body) or json_extract(body, '$.id') <> id)) as unreadable
  from races left join race_logs on race_logs.race_no = races.race_no
  order by races.race_no`;

interface RaceRow {
  readonly name: string;
  readonly date: string;
  readonly lastArrival: number | null;
  readonly records: number;
  readonly greatest: number | null;
  readonly unreadable: number;
}

/**
 * Reads all of a store: whether its pages and keys are sound (SQLite's own checks), whether this version knows its form, and
 * whether every record can be read and lies within its race's log. A hub may run meanwhile. Linear in the records.
 */
export function checkStore(file: string): StoreReport {
  if (!existsSync(file)) return { races: [], faults: ['There is no such file.'] };
  let database: Database.Database | undefined;
  try {
    database = new Database(file, { readonly: true, fileMustExist: true, timeout: 10_000 });
    return reportOf(database);
  } catch (error) {
    return { races: [], faults: [errorWords(error)] };
  } finally {
    database?.close();
  }
}

function reportOf(database: Database.Database): StoreReport {
  const tables = database.prepare<[], string>('select name from sqlite_schema').pluck().all();
  if (!tables.includes('kysely_migration')) return { races: [], faults: ['It does not hold a hub’s store.'] };
  const damage = database.pragma('integrity_check(20)') as { integrity_check: string }[];
  const faults = damage.map((row) => row.integrity_check).filter((text) => text !== 'ok');
  if (faults.length > 0) return { races: [], faults: faults.map((text) => `It is damaged: ${text}`) };
  const newer = database
    .prepare<[], string>('select name from kysely_migration')
    .pluck()
    .all()
    .filter((name) => !Object.hasOwn(MIGRATIONS, name));
  if (newer.length > 0) return { races: [], faults: [`A newer Kerbside wrote it (${newer.join(', ')}).`] };
  const astray = (database.pragma('foreign_key_check') as unknown[]).length;
  if (astray > 0) faults.push(`Rows of no race: ${astray}.`);
  const races = database.prepare<[], RaceRow>(RACES).all();
  faults.push(...races.flatMap(faultsOfRace));
  return { races: races.map(({ name, date, records }) => ({ name, date, records })), faults };
}

function faultsOfRace({ name, lastArrival, greatest, unreadable }: RaceRow): string[] {
  const faults: string[] = [];
  if (unreadable > 0) faults.push(`${name}: ${unreadable} records cannot be read.`);
  if (lastArrival === null) faults.push(`${name}: its log is missing.`);
  else if ((greatest ?? 0) > lastArrival) faults.push(`${name}: records lie beyond the end of its log.`);
  return faults;
}

function errorWords(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code === 'SQLITE_CANTOPEN') return 'It may not be read.';
  if (code === 'SQLITE_NOTADB') return 'It is not a database.';
  if (code.startsWith('SQLITE_CORRUPT')) return 'It is damaged.';
  return `It cannot be read: ${error instanceof Error ? error.message : String(error)}.`;
}
