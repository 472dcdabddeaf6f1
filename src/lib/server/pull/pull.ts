import type { Kysely } from 'kysely';
import { type Outcome, succeeded } from '../../records/outcome.ts';
import { readCursor, writeCursor } from './cursor.ts';
import { type Fault, fault } from '../fault.ts';
import { KINDS, RECORD_KINDS } from '../../records/kinds.ts';
import type { HubTables, RaceLogRow } from '../database/hub-tables.ts';
import type { Bringer } from '../push/judge-record.ts';

/** Arrivals an observer's page looks through at most: others' records lie between its own. */
const OBSERVER_SPAN = 20_000;

/** Numbers of the kinds that no observer gets. */
const KEPT_FROM_OBSERVERS = RECORD_KINDS.map((kind) => KINDS[kind]).flatMap((kind) =>
  kind.toObservers ? [] : [kind.number],
);

export interface PullRequest {
  readonly raceNo: number;
  readonly bringer: Bringer;
  /** From the first record when undefined. */
  readonly after: string | undefined;
  readonly limit: number;
}

/** One page of records, as JSON text: `pulledSchema` says its form. */
export async function pull(db: Kysely<HubTables>, request: PullRequest): Promise<Outcome<string, Fault>> {
  const log = await db.selectFrom('race_logs').selectAll().where('race_no', '=', request.raceNo).executeTakeFirst();
  if (!log) return fault('not-found', 'This hub has no such race.');
  const after = request.after === undefined ? 0 : readCursor(request.after, log.log, log.last_arrival);
  if (after === null)
    return fault('unknown-cursor', 'after: this hub gave no such cursor for the race. Read from the first record.');
  const { role, device } = request.bringer;
  const page =
    role === 'observer' && device !== null
      ? await observerPage(db, log, device, after, request.limit)
      : await fullPage(db, log, after, request.limit);
  // The records lie in the store as JSON: parsing them only to write them again would take most of the time.
  return succeeded(
    `{"records":[${page.bodies.join(',')}],"cursor":"${writeCursor(log.log, page.end)}","more":${page.end < log.last_arrival}}`,
  );
}

interface Page {
  readonly bodies: string[];
  /** The last arrival that this page covers. */
  readonly end: number;
}

/**
 * Arrivals are numbered one by one with few gaps, so a page is a span of them and not a limit: before its tables are
 * analysed PostgreSQL would sort all that is left of the race for each page.
 */
async function fullPage(db: Kysely<HubTables>, log: RaceLogRow, after: number, limit: number): Promise<Page> {
  const end = Math.min(after + limit, log.last_arrival);
  const rows = await db
    .selectFrom('records')
    .select('body')
    .where('race_no', '=', log.race_no)
    .where('arrival', '>', after)
    .where('arrival', '<=', end)
    .orderBy('arrival')
    .execute();
  return { bodies: rows.map((row) => row.body), end };
}

/** An observer's own records, and others' corrections and withdrawals of them. */
async function observerPage(
  db: Kysely<HubTables>,
  log: RaceLogRow,
  device: string,
  after: number,
  limit: number,
): Promise<Page> {
  const span = Math.min(after + OBSERVER_SPAN, log.last_arrival);
  const rows = await db
    .selectFrom('records')
    .select(['arrival', 'id', 'body'])
    .where('race_no', '=', log.race_no)
    .where('arrival', '>', after)
    .where('arrival', '<=', span)
    .where('kind', 'not in', KEPT_FROM_OBSERVERS)
    .where((where) => where.or([where('device', '=', device), where('owner', '=', device)]))
    .orderBy('arrival')
    .limit(limit)
    .execute();
  const last = rows.at(-1);
  const bodies = rows.map((row) => row.body);
  if (log.early > 0 && rows.length > 0)
    bodies.push(
      ...(await earlyBodies(
        db,
        log,
        rows.map((row) => row.id),
      )),
    );
  return { bodies, end: rows.length === limit && last ? last.arrival : span };
}

/** What others said of these records before they came, and what was said of that: it has no place of its own in the order. */
async function earlyBodies(db: Kysely<HubTables>, log: RaceLogRow, ids: readonly string[]): Promise<string[]> {
  const found = new Map<string, string>();
  for (let targets = [...ids]; targets.length > 0;) {
    const rows = await db
      .selectFrom('early_targets')
      .innerJoin('records', (join) =>
        join
          .onRef('records.race_no', '=', 'early_targets.race_no')
          .onRef('records.arrival', '=', 'early_targets.arrival'),
      )
      .select(['records.id', 'records.body'])
      .where('early_targets.race_no', '=', log.race_no)
      .where('early_targets.target', 'in', targets)
      .execute();
    targets = rows.map((row) => row.id).filter((id) => !found.has(id) && !ids.includes(id));
    for (const row of rows) if (!ids.includes(row.id)) found.set(row.id, row.body);
  }
  return [...found.values()];
}

/** Where a race's log ends now, as a cursor; null when the race is gone. */
export async function endCursor(db: Kysely<HubTables>, raceNo: number): Promise<string | null> {
  const row = await db
    .selectFrom('race_logs')
    .select(['log', 'last_arrival'])
    .where('race_no', '=', raceNo)
    .executeTakeFirst();
  return row ? writeCursor(row.log, row.last_arrival) : null;
}
