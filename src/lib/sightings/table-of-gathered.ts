import type { Race } from '../race/race.ts';
import type { Sighting } from '../records/record.ts';
import { sightingAt, type GatheredRecords } from './gathered-records.ts';
import type { IdColumn } from './id-column.ts';
import { nearFootOf } from './near-foot.ts';
import { entriesOf, viewOfRace, type RaceView } from './race-view.ts';
import { LIVE, methodOf, NEAR_FEET } from './seen.ts';
import { NO_BIB, SightingTableBuilder, type SightingTable } from './sighting-table.ts';
import { entryAdder } from './table-of-records.ts';

export interface TableOfGathered {
  readonly table: SightingTable;
  /** Of all records but the sightings that nothing targets. */
  readonly view: RaceView;
  /** Sightings and rulings that count nowhere since the race has no such checkpoint. */
  readonly offCourse: number;
}

interface Rows {
  readonly gathered: GatheredRecords;
  /** Rows that nothing targets, by record id. */
  readonly plain: Int32Array;
  readonly targeted: readonly Sighting[];
}

/**
 * The table that `tableOfRecords` makes of the view of the same records. Only what is corrected or withdrawn goes through the
 * projection; the rows that nothing targets are as they were written.
 *
 * @returns `null` where an id was met twice: the whole projection then has to say which content stands
 */
export function tableOfGathered(race: Race, gathered: GatheredRecords): TableOfGathered | null {
  const rows = rowsOf(gathered);
  if (!rows) return null;
  const view = viewOfRace(race, [...rows.targeted, ...gathered.others]);
  const entries = [...entriesOf(view)];
  // For each row of the table the gathered row that it is, or −1 − the place of its id here.
  const source = new Int32Array(rows.plain.length + entries.length);
  const entryIds: string[] = [];
  const recordId = (row: number) => (source[row]! < 0 ? entryIds[-1 - source[row]!]! : gathered.ids.at(source[row]!));
  const builder = new SightingTableBuilder({ recordId });
  const addEntry = entryAdder(builder, race, nearFootOf(view));
  const addRow = rowAdder(builder, race, gathered);
  let offCourse = view.offCourse.length;
  let next = 0;
  const addRowsUpTo = (place: number) => {
    for (; next < place; next += 1) {
      const row = rows.plain[next]!;
      source[builder.size] = row;
      if (!addRow(row)) offCourse += 1;
    }
  };
  for (const entry of entries) {
    addRowsUpTo(gathered.ids.placeIn(rows.plain, entry.record.id));
    source[builder.size] = -entryIds.push(entry.record.id);
    addEntry(entry);
  }
  addRowsUpTo(rows.plain.length);
  return { table: builder.build(), view, offCourse };
}

function rowsOf(gathered: GatheredRecords): Rows | null {
  const { ids, others } = gathered;
  const order = orderById(ids);
  if (!order || new Set(others.map(({ id }) => id)).size < others.length) return null;
  if (others.length === 0) return { gathered, plain: order, targeted: [] };
  const placeOf = (id: string): number | null => {
    const place = ids.placeIn(order, id);
    return place < order.length && ids.at(order[place]!) === id ? place : null;
  };
  const race = others[0]!.race;
  const isTargeted = new Uint8Array(order.length);
  const targeted: Sighting[] = [];
  for (const other of others) {
    if (placeOf(other.id) !== null) return null;
    const place = 'target' in other ? placeOf(other.target) : null;
    if (place === null || isTargeted[place]) continue;
    isTargeted[place] = 1;
    targeted.push(sightingAt(gathered, order[place]!, race));
  }
  return { gathered, plain: order.filter((_, place) => !isTargeted[place]), targeted };
}

/** Rows by id, or `null` where two share one. Ids in order, or in a few runs that are, cost no more than a look at each. */
function orderById(ids: IdColumn): Int32Array | null {
  const order = new Int32Array(ids.size);
  for (let row = 0; row < order.length; row += 1) order[row] = row;
  const isAfter = (i: number) => ids.compare(order[i]!, order[i - 1]!) > 0;
  let ascends = true;
  for (let i = 1; ascends && i < order.length; i += 1) ascends = isAfter(i);
  if (ascends) return order;
  // Sorted as an array: of numbers in runs it makes runs, where a typed array is sorted from nothing.
  order.set([...order].sort((a, b) => ids.compare(a, b)));
  for (let i = 1; i < order.length; i += 1) if (!isAfter(i)) return null;
  return order;
}

/** Puts rows into a table; whether the race has the checkpoint, without which a row is left out. */
function rowAdder(builder: SightingTableBuilder, race: Race, gathered: GatheredRecords): (row: number) => boolean {
  const { checkpoints, bibs, observers } = gathered;
  const places = new Map(race.checkpoints.map((place) => [place.id, place]));
  const near = liveSides(race, gathered);
  const noNote = builder.notes.codeOfName('');
  // Each is numbered when its first row comes, as the builder wants it.
  const [checkpointCode, bibCode, observerCode] = [checkpoints, bibs, observers].map((texts) =>
    new Int32Array(texts.length).fill(-1),
  ) as [Int32Array, Int32Array, Int32Array];
  const codeOfPlace = (number: number): number => {
    const place = places.get(checkpoints[number]!);
    if (!place) return -1;
    const code = builder.checkpoints.codeOfName(place.name);
    builder.hasKm(code, place.km);
    return (checkpointCode[number] = code);
  };
  return (row) => {
    const number = gathered.checkpoint[row]!;
    let checkpoint = checkpointCode[number]!;
    if (checkpoint < 0 && (checkpoint = codeOfPlace(number)) < 0) return false;
    const bib = gathered.bib[row]!;
    const observer = gathered.observer[row]!;
    if (bib !== NO_BIB && bibCode[bib]! < 0) bibCode[bib] = builder.bibs.codeOfName(bibs[bib]!);
    if (observerCode[observer]! < 0) observerCode[observer] = builder.observers.codeOfName(observers[observer]!);
    const seen = gathered.seen[row]!;
    builder.addCoded(
      builder.nextId(),
      checkpoint,
      bib === NO_BIB ? NO_BIB : bibCode[bib]!,
      observerCode[observer]!,
      noNote,
      gathered.observedAtMs[row]!,
      seen,
      methodOf(seen) === LIVE ? near[number * observers.length + observer]! : 0,
    );
    return true;
  };
}

/** The foot near a live observer, for each checkpoint and observer; 0 where it is not known. */
function liveSides(race: Race, { checkpoints, observers }: GatheredRecords): Uint8Array {
  const sides = new Uint8Array(checkpoints.length * observers.length);
  for (const { code, checkpoint, side } of race.observers ?? []) {
    const [place, observer] = [checkpoints.indexOf(checkpoint), observers.indexOf(code)];
    if (side && place >= 0 && observer >= 0) sides[place * observers.length + observer] = NEAR_FEET.indexOf(side);
  }
  return sides;
}
