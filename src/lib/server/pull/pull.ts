import type { Kysely } from 'kysely';
import { type Attempt, succeeded } from '../../records/attempt.ts';
import { type LogPlace, readCursor, writeCursor } from './cursor.ts';
import type { Adapter } from '../database/adapter.ts';
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
}

/**
 * One page of records as JSON text (`pulledSchema` says its form), piece by piece: each is read from the store when it is
 * asked for, so that a page that nobody takes costs one piece. A page ends at its limit, or before it where it would be too
 * large.
 */
export async function pullPieces(
  adapter: Adapter,
  request: PullRequest,
): Promise<Attempt<AsyncGenerator<string, void>, Fault>> {
  const { db } = adapter;
  const log = await db.selectFrom('race_logs').selectAll().where('race_no', '=', request.raceNo).executeTakeFirst();
  if (!log) return fault('not-found', 'This hub has no such race.');
  const after = request.after === undefined ? { arrival: 0 } : readCursor(request.after, log.log, log.last_arrival);
  if (after === null)
    return fault('unknown-cursor', 'after: this hub gave no such cursor for the race. Read from the first record.');
  const { role, device } = request.bringer;
  const room = new PageRoom(adapter.pieceCharacters);
  const pieces =
    role === 'observer' && device !== null
      ? observerPieces(db, log, device, after, request.limit, room)
      : fullPieces(adapter, log, after.arrival, request.limit, room);
  return succeeded(asJson(log, after, pieces));
}

/** The same as one text. */
export async function pull(adapter: Adapter, request: PullRequest): Promise<Attempt<string, Fault>> {
  const pieces = await pullPieces(adapter, request);
  if (!pieces.ok) return pieces;
  let text = '';
  for await (const piece of pieces.value) text += piece;
  return succeeded(text);
}

/** The records lie in the store as JSON: parsing them only to write them again would take most of the time. */
async function* asJson(log: RaceLogRow, after: LogPlace, pieces: AsyncIterable<Piece>): AsyncGenerator<string, void> {
  let before = '{"records":[';
  let place = after;
  for await (const piece of pieces) {
    place = piece.place;
    if (piece.text === '') continue;
    yield before + piece.text;
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
  adapter: Adapter,
  log: RaceLogRow,
  after: number,
  limit: number,
  room: PageRoom,
): AsyncGenerator<Piece, void> {
  const end = Math.min(after + limit, log.last_arrival);
  const coming: { readonly from: number; readonly to: number; readonly text: Promise<string> }[] = [];
  let asked = after;
  const ask = (count: number): void => {
    while (coming.length < count && asked < end && !room.isFull) {
      const [from, to] = [asked, Math.min(asked + room.rows, end)];
      const text = adapter.storedText(log.race_no, from, to);
      // What fails is heard of when the piece is asked for.
      text.catch(() => undefined);
      coming.push({ from, to, text });
      asked = to;
    }
  };
  // How many rows a piece may have shows in the first.
  ask(1);
  for (let next = coming.shift(); next && !room.isFull; next = coming.shift()) {
    const piece = { text: await next.text, place: { arrival: next.to } };
    room.take(piece, next.to - next.from);
    ask(adapter.piecesAhead);
    yield piece;
    ask(1);
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
