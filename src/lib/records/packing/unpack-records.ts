import { recordLine } from '../canonical-record.ts';
import type { TallyRecord } from '../record.ts';
import { ByteReader } from './byte-reader.ts';
import { ID_RANDOM_BITS, idOfPackedBits } from './packed-id.ts';
import type { PackedRecords } from './pack-records.ts';
import {
  BIB,
  feetOfByte,
  GREATEST_NUMBER_BIB,
  kindOfShape,
  PACKED_COLUMNS,
  SHAPE,
  SHAPED_WITH_TARGET,
  type PackedColumn,
  type PackedFields,
  type ShapedKind,
} from './packed-shape.ts';

/** Bounds for what packed records may unpack to: a few bytes can say a great deal. */
export interface UnpackLimits {
  readonly records: number;
  /** Characters of the file. */
  readonly characters: number;
}

interface Source {
  readonly observer: string;
  readonly device: string;
  seq: number;
  checkpoint: string;
}

const ID_CHARACTERS = 36;
const END_OF_ID_TIME = 2 ** 48;
/** The instants that records can write: years 0000 to 9999. */
const FIRST_INSTANT = Date.parse('0000-01-01T00:00:00.000Z');
const LAST_INSTANT = Date.parse('9999-12-31T23:59:59.999Z');

/** The hand-off file that `packRecords` was given, or `null` when the columns are damaged or go beyond the limits. */
export function unpackRecords({ columns, idBits }: PackedRecords, limits: UnpackLimits): string | null {
  const all = new ByteReader(columns);
  const firstLine = all.text();
  const race = raceOf(firstLine);
  const count = all.uint();
  if (race === null || count > limits.records) return null;
  if (idBits.length !== Math.ceil((count * ID_RANDOM_BITS) / 8)) return null;
  const words = listOf(all, () => all.text());
  const sources = listOf(all, () => sourceOf(words, all));
  const column = Object.fromEntries(PACKED_COLUMNS.map((name) => [name, new ByteReader(all.block())])) as Record<
    PackedColumn,
    ByteReader
  >;
  if (!all.finished || sources.includes(null)) return null;
  const unpacker = new RecordUnpacker(race, words, sources as Source[], column, idBits);
  let text = `${firstLine}\n`;
  for (let i = 0; i < count; i += 1) {
    const record = unpacker.next();
    if (!record) return null;
    text += `${recordLine(record)}\n`;
    if (text.length > limits.characters) return null;
  }
  return PACKED_COLUMNS.every((name) => column[name].finished) ? text : null;
}

function raceOf(firstLine: string): string | null {
  try {
    const value = JSON.parse(firstLine) as { race?: { id?: unknown } } | null;
    const id = value?.race?.id;
    return typeof id === 'string' ? id : null;
  } catch {
    return null;
  }
}

/** As many items as a number before them says; a number that is too great ends with the bytes. */
function listOf<Item>(reader: ByteReader, item: () => Item): Item[] {
  const items: Item[] = [];
  for (let left = reader.uint(); left > 0 && !reader.broken; left -= 1) items.push(item());
  return items;
}

function sourceOf(words: readonly string[], reader: ByteReader): Source | null {
  const observer = words[reader.uint()];
  const device = words[reader.uint()];
  return observer === undefined || device === undefined ? null : { observer, device, seq: 0, checkpoint: words[0]! };
}

class RecordUnpacker {
  readonly #race: string;
  readonly #words: readonly string[];
  readonly #sources: readonly Source[];
  readonly #column: Readonly<Record<PackedColumn, ByteReader>>;
  readonly #idBits: Uint8Array;
  readonly #ids: string[] = [];
  #ms = 0;
  #damaged = false;

  constructor(
    race: string,
    words: readonly string[],
    sources: readonly Source[],
    column: Readonly<Record<PackedColumn, ByteReader>>,
    idBits: Uint8Array,
  ) {
    this.#race = race;
    this.#words = words;
    this.#sources = sources;
    this.#column = column;
    this.#idBits = idBits;
  }

  /** The next record, or `null` when the columns are damaged here. */
  next(): TallyRecord | null {
    const column = this.#column;
    const shape = column.shape.byte();
    const source = this.#sources[column.source.uint()];
    this.#ms += column.idTime.uint();
    if (!source || this.#ms >= END_OF_ID_TIME) return null;
    const id = idOfPackedBits(this.#ms, this.#idBits, this.#ids.length);
    source.seq += 1 + column.number.int();
    const madeAt = this.#ms + column.made.int();
    const { observer, device, seq } = source;
    const kind = kindOfShape(shape);
    const record = { id, kind, race: this.#race, observer, device, seq, madeAt: this.#instant(madeAt) };
    const fields = this.#fields(shape, kind, source, madeAt);
    this.#ids.push(id);
    if (this.#damaged || Object.values(column).some((reader) => reader.broken)) return null;
    return { ...record, ...fields } as TallyRecord;
  }

  /** What the shape says that there is; the column `rest` holds target, bib and note in this order. */
  #fields(shape: number, kind: ShapedKind, source: Source, madeAt: number): PackedFields {
    return {
      ...(SHAPED_WITH_TARGET.includes(kind) ? { target: this.#target() } : {}),
      ...(shape & SHAPE.checkpoint ? { checkpoint: this.#checkpoint(source) } : {}),
      ...(shape & SHAPE.bib ? { bib: this.#bib() } : {}),
      ...(shape & SHAPE.walk ? { gait: 'walk' } : {}),
      ...(shape & SHAPE.feet ? feetOfByte(this.#column.feet.byte()) : {}),
      ...(kind === 'sighting' ? this.#sighting(shape, madeAt) : {}),
      ...(shape & SHAPE.note ? { note: this.#column.rest.text() } : {}),
    };
  }

  #sighting(shape: number, madeAt: number): PackedFields {
    const method = shape & SHAPE.clip ? 'clip' : 'live';
    return { method, observedAt: this.#instant(madeAt - this.#column.seen.int()) };
  }

  #target(): string {
    const back = this.#column.target.uint();
    if (back === 0) return this.#column.rest.characters(ID_CHARACTERS);
    return this.#ids[this.#ids.length - back] ?? this.#damage();
  }

  #checkpoint(source: Source): string {
    const word = this.#column.checkpoint.uint();
    if (word > 0) source.checkpoint = this.#words[word - 1] ?? this.#damage();
    return source.checkpoint;
  }

  #bib(): string | null {
    const bib = this.#column.bib.uint();
    if (bib === BIB.none) return null;
    if (bib === BIB.text) return this.#column.rest.text();
    return bib - BIB.firstNumber > GREATEST_NUMBER_BIB ? this.#damage() : String(bib - BIB.firstNumber);
  }

  #instant(ms: number): string {
    return ms >= FIRST_INSTANT && ms <= LAST_INSTANT ? new Date(ms).toISOString() : this.#damage();
  }

  #damage(): string {
    this.#damaged = true;
    return '';
  }
}
