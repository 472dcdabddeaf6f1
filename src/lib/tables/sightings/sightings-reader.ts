import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import {
  SightingTableBuilder,
  type BuilderOptions,
  type SightingPart,
  type SightingTable,
} from '../../sightings/sighting-table.ts';
import { CsvScanner } from '../csv/csv-scanner.ts';
import { FaultList } from '../csv/fault-list.ts';
import { ROW_FLAW_WORDS } from '../csv/row-flaw-words.ts';
import type { SightingOrigins } from './sighting-origins.ts';
import { SightingRowReader } from './sighting-row-reader.ts';
import { NOT_PLAIN } from '../csv/plain-cells.ts';
import { PlainRowReader, type RowsBefore } from './plain-row-reader.ts';
import { placeColumns, type ColumnPlaces } from './sightings-columns.ts';
import type { TableFault } from '../csv/table-fault.ts';

/** As many faults are kept with their place; the rest are counted. */
export const FAULTS_KEPT = 20;

export interface SightingsFaults {
  type: 'faults';
  /** The first {@link FAULTS_KEPT}. */
  faults: TableFault[];
  faultCount: number;
}

export interface ReadSightings {
  table: SightingTable;
  /** Data rows of the file; a record met twice counts twice. */
  rows: number;
  /** Name of the race. */
  race: string;
}

/** Rows that were read from a piece of a file. */
export interface ReadPart {
  readonly table: SightingPart;
  readonly rows: number;
  readonly race: string;
}

/**
 * Reads sightings from the bytes of a CSV file (RFC 4180, UTF-8 with or without its mark, CRLF or LF) as they arrive:
 * `push` each chunk, then `finish`. Columns are found by their headings; unknown ones are ignored. Rows are counted as a
 * spreadsheet counts them: the headings are row 1. An apostrophe that an export set before free text against formulas is
 * taken off again.
 */
export class SightingsReader {
  readonly #builder: SightingTableBuilder;
  readonly #scanner = new CsvScanner(() => this.#takeRow());
  readonly #faults = new FaultList(FAULTS_KEPT);
  readonly #origins: SightingOrigins | null;
  #rows = 0;
  /** There once the headings are read. */
  #rowReader: SightingRowReader | null = null;
  #started = false;
  #broken = false;

  /**
   * @param origins filled with what the table says of tablets, for those who ask
   * @param options of the table that is built
   */
  constructor(origins: SightingOrigins | null = null, options: BuilderOptions = {}) {
    this.#origins = origins;
    this.#builder = new SightingTableBuilder(options);
  }

  /** Whether nothing is wrong so far. */
  get faultless(): boolean {
    return !this.hopeless && this.#faults.count === 0;
  }

  /** Whether no later byte can change what is wrong, so that the rest need not be read. */
  get hopeless(): boolean {
    return this.#broken || this.#scanner.stopped;
  }

  push(chunk: Uint8Array): void {
    if (this.#broken || chunk.length === 0) return;
    if (!this.#started && !this.#begin(chunk)) return;
    this.#scanner.push(chunk);
  }

  /** Looks at the first bytes: what is no UTF-8 text at all is said once, and not in each cell. */
  #begin(chunk: Uint8Array): boolean {
    this.#started = true;
    const utf16 = (chunk[0] === 0xff && chunk[1] === 0xfe) || (chunk[0] === 0xfe && chunk[1] === 0xff);
    if (utf16) return this.#giveUp('the file is in UTF-16; save it as CSV in UTF-8');
    if (chunk.subarray(0, 65_536).includes(0)) {
      return this.#giveUp('the file is not text (it has bytes of value 0); expected CSV in UTF-8');
    }
    return true;
  }

  #giveUp(expected: string): false {
    this.#broken = true;
    this.#faults.add({ expected });
    return false;
  }

  /**
   * The rows up to the end of the file, for the reader of those before: `null` unless they are without fault, under UUIDs.
   * The reader is used up.
   */
  part(): ReadPart | null {
    this.#scanner.end();
    if (!this.#wholeSoFar) return null;
    const table = this.#builder.part();
    return table && { table, rows: this.#rows, race: this.#rowReader?.race ?? '' };
  }

  /** Takes the rows that another reader has read behind those of this one; false, and it is used up, when they do not go together. */
  append(part: ReadPart): boolean {
    if (!this.#wholeSoFar || part.race !== this.#rowReader?.race) return false;
    this.#rows += part.rows;
    return this.#builder.append(part.table);
  }

  /** For each record id four words, when all are UUIDs. */
  idWords(): Int32Array | null {
    return this.#builder.recordIds.words();
  }

  /** Whether what was read is whole rows without fault. */
  get #wholeSoFar(): boolean {
    return this.faultless && this.#rows > 0 && this.#scanner.betweenRows;
  }

  /** The table, or what is wrong with the file. */
  finish(): Attempt<ReadSightings, SightingsFaults> {
    this.#scanner.end();
    if (!this.#started) this.#giveUp('the file is empty; expected a row of headings');
    else if (!this.#broken && !this.#rowReader) this.#giveUp('the file has no row of headings');
    else if (this.#faults.count === 0 && this.#rows === 0) {
      this.#faults.add({ expected: 'there is no sighting below the headings' });
    }
    const { kept, count } = this.#faults;
    if (count > 0) return failed({ type: 'faults', faults: kept, faultCount: count });
    return succeeded({ table: this.#builder.build(), rows: this.#rows, race: this.#rowReader?.race ?? '' });
  }

  #takeRow(): void {
    if (this.#broken) return;
    const { flaw, row } = this.#scanner;
    if (flaw !== null) {
      this.#faults.add({ row, expected: ROW_FLAW_WORDS[flaw] });
      // Without headings nothing below can be understood.
      if (!this.#rowReader) this.#broken = true;
    } else if (this.#rowReader) {
      this.#rows += 1;
      this.#rowReader.take();
    } else this.#takeHeadings();
  }

  #takeHeadings(): void {
    const headings: string[] = [];
    for (let cell = 0; cell < this.#scanner.cells; cell += 1) headings.push(this.#scanner.lenientText(cell));
    const other = headings.length === 1 ? /[;\t]/.exec(headings[0]!)?.[0] : undefined;
    if (other !== undefined) {
      this.#giveUp(`the cells are separated by ${other === ';' ? 'semicolons' : 'tabs'}; expected commas`);
      return;
    }
    const { row } = this.#scanner;
    const { places, faults } = placeColumns(headings);
    for (const fault of faults) this.#faults.add({ row, ...fault });
    // With a column missing every row would be at fault.
    if (this.#faults.count > 0) this.#broken = true;
    this.#rowReader = new SightingRowReader(headings, places, {
      scanner: this.#scanner,
      builder: this.#builder,
      faults: this.#faults,
      origins: this.#origins,
    });
    this.#origins?.takeHeadings(headings);
    // Who asks for more of a row than the table holds has it from the row reader.
    if (!this.#origins && !this.#broken) this.#takePlainRows(headings.length, places, this.#rowReader);
  }

  #takePlainRows(columns: number, places: ColumnPlaces, before: RowsBefore): void {
    const plain = new PlainRowReader(columns, places, this.#builder, before);
    this.#scanner.takeWhole = (bytes, at, length) => {
      const next = plain.take(bytes, at, length);
      if (next !== NOT_PLAIN) this.#rows += 1;
      return next;
    };
  }
}

/** Reads a whole stream of sightings. `onBytes` is told the bytes of each chunk once they are read. */
export async function readSightings(
  chunks: AsyncIterable<Uint8Array>,
  onBytes: (bytes: number) => void = () => {},
): Promise<Attempt<ReadSightings, SightingsFaults>> {
  const reader = new SightingsReader();
  for await (const chunk of chunks) {
    reader.push(chunk);
    onBytes(chunk.length);
    if (reader.hopeless) break;
  }
  return reader.finish();
}
