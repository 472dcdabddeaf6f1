const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;
const QUOTE = 0x22;
const COMMA = 0x2c;
const DECODER = new TextDecoder();

/** A row longer than this is no row of a table: most likely a quotation mark was left open. */
export const LONGEST_ROW_BYTES = 1_048_576;

/** What can be wrong with the form of a row, whatever its columns mean. */
export type RowFlaw = 'quote-inside' | 'text-after-quote' | 'lone-carriage-return' | 'unclosed-quote' | 'too-long';

/**
 * By hand: a million rows take 0.5 s of processor time where papaparse takes 0.8, and its cells stay bytes, from which words,
 * instants and short texts are read four times as fast as through strings (`npm run bench by-hand`).
 *
 * Splits CSV bytes (RFC 4180, comma, line ends CRLF or LF) into rows as they arrive, without making a string or an
 * object for any of them. `onRow` is called for each row that is not blank; the row's cells are then in `bytes`, cell `i` from
 * `from[i]` to `to[i]` (not included), quotation marks taken off, until `onRow` returns.
 */
export class CsvScanner {
  /** The bytes in work; belongs to the scanner. */
  bytes = new Uint8Array(0);
  from = new Int32Array(64);
  to = new Int32Array(64);
  /** Cells of the row. */
  cells = 0;
  /** The row's place as a spreadsheet counts: the first row of the file is 1, blank ones count. */
  row = 0;
  /** Whether the row has a byte that is not ASCII. */
  beyondAscii = false;
  flaw: RowFlaw | null = null;
  /**
   * Asked first for each row: takes it whole and returns where the next one begins, or -1 to have its cells
   * found. `length` is how many of the bytes there are.
   */
  takeWhole: ((bytes: Uint8Array, at: number, length: number) => number) | null = null;
  readonly #onRow: () => void;
  #length = 0;
  #doubled = new Uint8Array(64);
  #stopped = false;

  constructor(onRow: () => void) {
    this.#onRow = onRow;
  }

  /** Whether a row without end has been met: nothing more is read. */
  get stopped(): boolean {
    return this.#stopped;
  }

  /** Whether the bytes so far are whole rows. */
  get betweenRows(): boolean {
    return this.#length === 0;
  }

  /** The next bytes of the file; they are copied. */
  push(chunk: Uint8Array): void {
    if (this.#stopped) return;
    const needed = this.#length + chunk.length;
    if (needed > this.bytes.length) {
      const larger = new Uint8Array(needed);
      larger.set(this.bytes.subarray(0, this.#length));
      this.bytes = larger;
    }
    this.bytes.set(chunk, this.#length);
    this.#length = needed;
    const read = this.#rows(false);
    this.bytes.copyWithin(0, read, this.#length);
    this.#length -= read;
    if (this.#length > LONGEST_ROW_BYTES) this.#stop('too-long');
  }

  /** The text of a cell of the row, with a mark in place of what is not UTF-8. */
  lenientText(cell: number): string {
    return DECODER.decode(this.bytes.subarray(this.from[cell], this.to[cell]));
  }

  /** Says that the file has ended: what is left is the last row. */
  end(): void {
    if (this.#stopped || this.#length === 0) return;
    if (this.#rows(true) < this.#length) this.#stop('unclosed-quote');
    this.#length = 0;
  }

  #stop(flaw: RowFlaw): void {
    this.#stopped = true;
    this.#length = 0;
    this.row += 1;
    this.cells = 0;
    this.flaw = flaw;
    this.#onRow();
  }

  /** Reads all whole rows; the place where the first one that is not whole begins. */
  #rows(last: boolean): number {
    const { bytes } = this;
    const length = this.#length;
    let at = 0;
    // A byte-order mark before the first row is no part of it.
    if (this.row === 0 && bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) at = 3;
    while (at < length) {
      const { takeWhole } = this;
      const taken = takeWhole !== null ? takeWhole(bytes, at, length) : -1;
      if (taken >= 0) {
        this.row += 1;
        at = taken;
        continue;
      }
      const next = this.#scanRow(bytes, at, length, last);
      if (next < 0) return this.row === 0 ? 0 : at;
      this.row += 1;
      const blank = this.cells === 1 && this.from[0] === this.to[0] && bytes[at] !== QUOTE;
      at = next;
      if (!blank) this.#onRow();
    }
    return at;
  }

  /** Finds the cells of the row that begins at `at`; where the next row begins, or -1 when this one is not whole. */
  #scanRow(bytes: Uint8Array, at: number, length: number, last: boolean): number {
    let cell = 0;
    let seen = 0;
    let doubled = 0;
    let start = at;
    let { from, to } = this;
    this.flaw = null;
    for (;;) {
      if (cell === from.length) {
        this.#moreCells();
        ({ from, to } = this);
      }
      let end = start;
      if (start < length && bytes[start] === QUOTE) {
        start += 1;
        end = start;
        for (;;) {
          while (end < length && bytes[end] !== QUOTE) {
            seen |= bytes[end]!;
            end += 1;
          }
          // Whether the quotation mark at the very end closes or is the first of two, only the next byte can tell.
          if (end >= length || (end + 1 >= length && !last)) return -1;
          if (bytes[end + 1] !== QUOTE || end + 1 >= length) break;
          this.#doubled[cell] = 1;
          doubled += 1;
          end += 2;
        }
        from[cell] = start;
        to[cell] = end;
        end += 1;
        const after = bytes[end];
        if (end < length && after !== COMMA && after !== LINE_FEED && after !== CARRIAGE_RETURN) {
          this.flaw = 'text-after-quote';
        }
        while (end < length && bytes[end] !== COMMA && bytes[end] !== LINE_FEED) end += 1;
      } else {
        for (; end < length; end += 1) {
          const byte = bytes[end]!;
          if (byte > COMMA) {
            seen |= byte;
            continue;
          }
          if (byte === COMMA || byte === LINE_FEED) break;
          if (byte === QUOTE) this.flaw = 'quote-inside';
          if (byte === CARRIAGE_RETURN && end + 1 < length && bytes[end + 1] !== LINE_FEED) {
            this.flaw = 'lone-carriage-return';
          }
        }
        from[cell] = start;
        // The carriage return of a CRLF is no part of the cell.
        const closed = end < length ? bytes[end] === LINE_FEED : last;
        to[cell] = closed && end > start && bytes[end - 1] === CARRIAGE_RETURN ? end - 1 : end;
      }
      cell += 1;
      if (end >= length && !last) return -1;
      if (end < length && bytes[end] === COMMA) {
        start = end + 1;
        continue;
      }
      this.cells = cell;
      this.beyondAscii = seen > 0x7f;
      if (doubled > 0) this.#undouble();
      return Math.min(end + 1, length);
    }
  }

  /** Takes one of each two quotation marks away, in place. */
  #undouble(): void {
    const { bytes } = this;
    for (let cell = 0; cell < this.cells; cell += 1) {
      if (!this.#doubled[cell]) continue;
      this.#doubled[cell] = 0;
      let write = this.from[cell]!;
      for (let read = write; read < this.to[cell]!; read += 1, write += 1) {
        bytes[write] = bytes[read]!;
        if (bytes[read] === QUOTE) read += 1;
      }
      this.to[cell] = write;
    }
  }

  #moreCells(): void {
    const length = this.from.length * 2;
    const from = new Int32Array(length);
    from.set(this.from);
    this.from = from;
    const to = new Int32Array(length);
    to.set(this.to);
    this.to = to;
    const doubled = new Uint8Array(length);
    doubled.set(this.#doubled);
    this.#doubled = doubled;
  }
}
