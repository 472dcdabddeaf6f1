import type { Kysely } from 'kysely';
import { type Outcome, succeeded } from '../../records/outcome.ts';
import { type Place, readCursor, writeCursor } from './cursor.ts';
import { type Fault, fault } from '../fault.ts';
import { observerPieces } from './observer-pieces.ts';
import { PageRoom, type Piece } from './page-piece.ts';
import type { HubTables, RaceLogRow } from '../database/hub-tables.ts';
import type { Bringer } from '../push/judge-record.ts';

export interface PullRequest {
  readonly raceNo: number;
  readonly bringer: Bringer;
  /** From the first record when undefined. */
  readonly after: string | undefined;
  readonly limit: number;
  /** As the store's adapter says. */
  readonly pieceCharacters: number;
}

/**
 * One page of records as JSON text (`pulledSchema` says its form), piece by piece: each is read from the store when it is
 * asked for, so that a page that nobody takes costs one piece. A page ends at its limit, or before it where it would be too
 * large.
 */
export async function pullPieces(
  db: Kysely<HubTables>,
  request: PullRequest,
): Promise<Outcome<AsyncGenerator<string, void>, Fault>> {
  const log = await db.selectFrom('race_logs').selectAll().where('race_no', '=', request.raceNo).executeTakeFirst();
  if (!log) return fault('not-found', 'This hub has no such race.');
  const after = request.after === undefined ? { arrival: 0 } : readCursor(request.after, log.log, log.last_arrival);
  if (after === null)
    return fault('unknown-cursor', 'after: this hub gave no such cursor for the race. Read from the first record.');
  const { role, device } = request.bringer;
  const room = new PageRoom(request.pieceCharacters);
  const pieces =
    role === 'observer' && device !== null
      ? observerPieces(db, log, device, after, request.limit, room)
      : fullPieces(db, log, after.arrival, request.limit, room);
  return succeeded(asJson(log, after, pieces));
}

/** The same as one text. */
export async function pull(db: Kysely<HubTables>, request: PullRequest): Promise<Outcome<string, Fault>> {
  const pieces = await pullPieces(db, request);
  if (!pieces.ok) return pieces;
  let text = '';
  for await (const piece of pieces.value) text += piece;
  return succeeded(text);
}

/** The records lie in the store as JSON: parsing them only to write them again would take most of the time. */
async function* asJson(log: RaceLogRow, after: Place, pieces: AsyncIterable<Piece>): AsyncGenerator<string, void> {
  let before = '{"records":[';
  let place = after;
  for await (const piece of pieces) {
    place = piece.place;
    if (piece.bodies.length === 0) continue;
    yield before + piece.bodies.join(',');
    before = ',';
  }
  const more = place.early !== undefined || place.arrival < log.last_arrival;
  yield `${before === ',' ? '' : before}],"cursor":"${writeCursor(log.log, place)}","more":${more}}`;
}

/**
 * Arrivals are numbered one by one with few gaps, so a page is a span of them and not a limit: before its tables are
 * analysed PostgreSQL would sort all that is left of the race for each page.
 */
async function* fullPieces(
  db: Kysely<HubTables>,
  log: RaceLogRow,
  after: number,
  limit: number,
  room: PageRoom,
): AsyncGenerator<Piece, void> {
  const end = Math.min(after + limit, log.last_arrival);
  for (let at = after; at < end && !room.isFull;) {
    const to = Math.min(at + room.rows, end);
    const rows = await db
      .selectFrom('records')
      .select('body')
      .where('race_no', '=', log.race_no)
      .where('arrival', '>', at)
      .where('arrival', '<=', to)
      .orderBy('arrival')
      .execute();
    at = to;
    const bodies = rows.map((row) => row.body);
    room.take(bodies);
    yield { bodies, place: { arrival: at } };
  }
}
/** Where a race's log ends now, as a cursor; null when the race is gone. */
export async function endCursor(db: Kysely<HubTables>, raceNo: number): Promise<string | null> {
  const row = await db
    .selectFrom('race_logs')
    .select(['log', 'last_arrival'])
    .where('race_no', '=', raceNo)
    .executeTakeFirst();
  return row ? writeCursor(row.log, { arrival: row.last_arrival }) : null;
}
