import type { Kysely } from 'kysely';
import type { LogPlace } from './cursor.ts';
import { type EarlyOnes, earlyOnes } from './early-ones.ts';
import { PageRoom, type Piece } from './page-piece.ts';
import { KINDS, RECORD_KINDS } from '../../records/kinds.ts';
import type { HubTables, RaceLogRow } from '../database/hub-tables.ts';

/** Arrivals an observer's page looks through at most: others' records lie between its own. */
const OBSERVER_SPAN = 20_000;

/** Numbers of the kinds that no observer gets. */
const KEPT_FROM_OBSERVERS = RECORD_KINDS.map((kind) => KINDS[kind]).flatMap((kind) =>
  kind.toObservers ? [] : [kind.number],
);
/** Numbers of the kinds that every observer gets, whoever made them. */
const FOR_EVERYONE = RECORD_KINDS.map((kind) => KINDS[kind]).flatMap((kind) =>
  kind.toObservers === 'everyone' ? [kind.number] : [],
);

interface OwnRow {
  readonly arrival: number;
  readonly id: string;
  readonly body: string;
}

/**
 * An observer's own records, and others' corrections and withdrawals of them. What came before the record it is about has
 * no place of its own in the order: it follows that record.
 */
export async function* observerPieces(
  db: Kysely<HubTables>,
  log: RaceLogRow,
  device: string,
  after: LogPlace,
  limit: number,
  room: PageRoom,
): AsyncGenerator<Piece, void> {
  const page = new ObserverPage(db, log, device, limit, room);
  if (after.early !== undefined) {
    const [row] = await page.ownRows(after.arrival - 1, after.arrival, 1);
    const early = row ? await earlyOnes(db, log, [row.id], device) : new Map<string, number[]>();
    const left = (row && early.get(row.id)) ?? [];
    yield* page.earlyPieces(
      after.arrival,
      left.filter((arrival) => arrival > (after.early ?? 0)),
    );
  }
  const span = Math.min(after.arrival + OBSERVER_SPAN, log.last_arrival);
  for (let at = after.arrival; at < span && !page.ended;) {
    const wanted = page.wanted;
    const rows = await page.ownRows(at, span, wanted);
    yield* page.piecesOf(rows);
    const last = rows.at(-1);
    at = rows.length === wanted && last ? last.arrival : span;
    if (!page.ended && at === span) yield { text: '', place: { arrival: span } };
  }
}

class ObserverPage {
  readonly #db: Kysely<HubTables>;
  readonly #log: RaceLogRow;
  readonly #device: string;
  readonly #room: PageRoom;
  #left: number;

  constructor(db: Kysely<HubTables>, log: RaceLogRow, device: string, limit: number, room: PageRoom) {
    this.#db = db;
    this.#log = log;
    this.#device = device;
    this.#left = limit;
    this.#room = room;
  }

  get ended(): boolean {
    return this.#left === 0 || this.#room.isFull;
  }

  get wanted(): number {
    return Math.min(this.#left, this.#room.rows);
  }

  ownRows(after: number, upTo: number, most: number): Promise<OwnRow[]> {
    const { race_no } = this.#log;
    return this.#db
      .selectFrom('records')
      .select(['arrival', 'id', 'body'])
      .where('race_no', '=', race_no)
      .where('arrival', '>', after)
      .where('arrival', '<=', upTo)
      .where('kind', 'not in', KEPT_FROM_OBSERVERS)
      .where((where) =>
        where.or([
          where('device', '=', this.#device),
          where('owner', '=', this.#device),
          where('kind', 'in', FOR_EVERYONE),
        ]),
      )
      .orderBy('arrival')
      .limit(most)
      .execute();
  }

  /** The rows, each followed by what was said of it before it came, as far as the page has room. */
  async *piecesOf(rows: readonly OwnRow[]): AsyncGenerator<Piece, void> {
    const ids = rows.map(({ id }) => id);
    const early: EarlyOnes = this.#log.early > 0 ? await earlyOnes(this.#db, this.#log, ids, this.#device) : new Map();
    let plain: OwnRow[] = [];
    for (const row of rows) {
      if (this.#left === plain.length) break;
      plain.push(row);
      const said = early.get(row.id);
      if (!said) continue;
      yield this.#take(plain, { arrival: row.arrival, early: 0 });
      plain = [];
      yield* this.earlyPieces(row.arrival, said);
      if (this.ended) return;
    }
    const last = plain.at(-1);
    if (last) yield this.#take(plain, { arrival: last.arrival });
  }

  /** What was said of the record at `arrival` before it came, from the first of `said` on. */
  async *earlyPieces(arrival: number, said: readonly number[]): AsyncGenerator<Piece, void> {
    if (said.length === 0) yield { text: '', place: { arrival } };
    for (let from = 0; from < said.length && !this.ended;) {
      const part = said.slice(from, from + this.wanted);
      const rows = await this.#db
        .selectFrom('records')
        .select('body')
        .where('race_no', '=', this.#log.race_no)
        .where('arrival', 'in', part)
        .orderBy('arrival')
        .execute();
      from += part.length;
      yield this.#take(rows, from < said.length ? { arrival, early: part.at(-1) ?? 0 } : { arrival });
    }
  }

  #take(rows: readonly { readonly body: string }[], place: LogPlace): Piece {
    const piece = { text: rows.map(({ body }) => body).join(','), place };
    this.#left -= rows.length;
    this.#room.take(piece, rows.length);
    return piece;
  }
}
