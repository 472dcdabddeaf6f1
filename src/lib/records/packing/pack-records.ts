import type { TallyRecord } from '../record.ts';
import { ByteWriter } from './byte-writer.ts';
import { millisecondsOfId, packedIdBits } from './packed-id.ts';
import {
  BIB,
  feetByte,
  NUMBER_BIB,
  PACKED_COLUMNS,
  SHAPE,
  shapeOf,
  type PackedColumn,
  type PackedFields,
} from './packed-shape.ts';

/** Records as columns, which deflate well, and the random bits of their ids, which do not deflate at all. */
export interface PackedRecords {
  readonly columns: Uint8Array;
  readonly idBits: Uint8Array;
}

interface Source {
  readonly index: number;
  readonly words: readonly [observer: number, device: number];
  seq: number;
  /** The word of the checkpoint it had last. */
  checkpoint: number;
}

/**
 * Packs the records of a hand-off file, or gives `null` when one is of a kind that columns cannot hold. Fields that
 * columns do not know are lost: whoever packs unpacks and compares (`unpackRecords`).
 *
 * @param firstLine of the file, without its line end
 * @param records in the order of the file, ids ascending
 */
export function packRecords(firstLine: string, records: readonly TallyRecord[]): PackedRecords | null {
  const packer = new RecordPacker();
  for (const record of records) if (!packer.add(record)) return null;
  return { columns: packer.columns(firstLine), idBits: packedIdBits(packer.ids) };
}

class RecordPacker {
  readonly ids: string[] = [];
  readonly #column = Object.fromEntries(PACKED_COLUMNS.map((name) => [name, new ByteWriter()])) as Record<
    PackedColumn,
    ByteWriter
  >;
  readonly #words = new Map<string, number>();
  readonly #sources = new Map<string, Source>();
  readonly #places = new Map<string, number>();
  #ms = 0;

  /** Whether columns can hold it. */
  add(record: TallyRecord): boolean {
    const shape = shapeOf(record);
    const ms = millisecondsOfId(record.id);
    if (shape === null || ms < this.#ms) return false;
    const column = this.#column;
    const source = this.#sourceOf(record);
    const madeAt = Date.parse(record.madeAt);
    column.shape.byte(shape);
    column.source.uint(source.index);
    column.idTime.uint(ms - this.#ms);
    column.number.int(record.seq - source.seq - 1);
    column.made.int(madeAt - ms);
    this.#ms = ms;
    source.seq = record.seq;
    this.#addFields(record, shape, source, madeAt);
    this.#places.set(record.id, this.ids.length);
    this.ids.push(record.id);
    return true;
  }

  #addFields(fields: PackedFields, shape: number, source: Source, madeAt: number): void {
    const column = this.#column;
    if (fields.observedAt !== undefined) column.seen.int(madeAt - Date.parse(fields.observedAt));
    if (fields.target !== undefined) this.#addTarget(fields.target);
    if (fields.checkpoint !== undefined) this.#addCheckpoint(fields.checkpoint, source);
    if (fields.bib !== undefined) this.#addBib(fields.bib);
    if (shape & SHAPE.feet) column.feet.byte(feetByte(fields));
    if (fields.note !== undefined) column.rest.text(fields.note);
  }

  #addTarget(target: string): void {
    const place = this.#places.get(target);
    this.#column.target.uint(place === undefined ? 0 : this.ids.length - place);
    if (place === undefined) this.#column.rest.characters(target);
  }

  #addCheckpoint(checkpoint: string, source: Source): void {
    const word = this.#wordOf(checkpoint);
    this.#column.checkpoint.uint(word === source.checkpoint ? 0 : word + 1);
    source.checkpoint = word;
  }

  #addBib(bib: string | null): void {
    const { bib: column, rest } = this.#column;
    if (bib === null) column.uint(BIB.none);
    else if (NUMBER_BIB.test(bib)) column.uint(Number(bib) + BIB.firstNumber);
    else {
      column.uint(BIB.text);
      rest.text(bib);
    }
  }

  #wordOf(word: string): number {
    const known = this.#words.get(word);
    if (known !== undefined) return known;
    this.#words.set(word, this.#words.size);
    return this.#words.size - 1;
  }

  #sourceOf({ observer, device }: TallyRecord): Source {
    const words = [this.#wordOf(observer), this.#wordOf(device)] as const;
    const key = words.join();
    const known = this.#sources.get(key);
    if (known) return known;
    const source = { index: this.#sources.size, words, seq: 0, checkpoint: 0 };
    this.#sources.set(key, source);
    return source;
  }

  columns(firstLine: string): Uint8Array {
    const all = new ByteWriter();
    all.text(firstLine);
    all.uint(this.ids.length);
    all.uint(this.#words.size);
    for (const word of this.#words.keys()) all.text(word);
    all.uint(this.#sources.size);
    for (const { words } of this.#sources.values()) words.forEach((word) => all.uint(word));
    for (const name of PACKED_COLUMNS) all.block(this.#column[name].bytes);
    return all.bytes;
  }
}
