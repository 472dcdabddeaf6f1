import * as v from 'valibot';
import { canonicalRace, standingRace } from '../race/canonical-race.ts';
import { recordLine } from '../records/canonical-record.ts';
import { mergeRecords } from '../records/merge-records.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { raceSchema, type Race } from '../race/race.ts';
import { withPlainNames } from '../race/plain-names.ts';
import { plainIssue } from '../records/plain-issue.ts';
import { recordSchema, type TallyRecord } from '../records/record.ts';

const FORMAT = 'kerbside-records';
const VERSION = 1;
export const HANDOFF_EXTENSION = '.ndjson';

/** A file is written in pieces of about this many characters. */
const PIECE_CHARACTERS = 65_536;
/** No record and no race comes near this length: a file without line ends must not fill the memory. */
const LONGEST_LINE_BYTES = 1_048_576;
/** A hand-off file has some 350 bytes a record: six million of them are no race any more. */
export const MOST_HANDOFF_BYTES = 2 * 1024 ** 3;
/** A file with more faults than this is another file. */
const MOST_FAULTS = 1000;
const LINE_FEED = 0x0a;

export interface HandoffContent {
  readonly race: Race;
  /** Each id once, in id order. */
  readonly records: readonly TallyRecord[];
}

/** The codes of the observers who made these records, in order. */
export function observersIn(records: readonly TallyRecord[]): readonly string[] {
  return [...new Set(records.map((record) => record.observer))].sort();
}

/** Something wrong at one line of one file. */
export interface HandoffFault {
  readonly file: string;
  /** The first line of the file is 1. */
  readonly line: number;
  readonly message: string;
}

export interface HandoffFaults {
  readonly type: 'handoff-faults';
  /** In the order of the files and of their lines; at least one. */
  readonly faults: readonly HandoffFault[];
}

/** A file to read: its name as a person knows it, and its bytes piece by piece. */
export interface HandoffSource {
  readonly name: string;
  readonly chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>;
}

/**
 * Writes a hand-off file, piece by piece: UTF-8, one JSON value a line, the race first, then one record a line. The same
 * set of records always gives the same bytes: records go in id order, their fields in one order, and what only repeats a
 * default is left out.
 *
 * @param records of this race, in any order
 */
export function* writeHandoff(race: Race, records: Iterable<TallyRecord>): Generator<string> {
  let piece = `${JSON.stringify({ format: FORMAT, version: VERSION, race: canonicalRace(race) })}\n`;
  for (const record of mergeRecords(records).records) {
    piece += `${recordLine(record)}\n`;
    if (piece.length < PIECE_CHARACTERS) continue;
    yield piece;
    piece = '';
  }
  if (piece !== '') yield piece;
}

/**
 * Reads any number of hand-off files and unites them: the union of their records, and the race line that stands. The
 * order of the files and reading one of them again make no difference.
 *
 * Every fault of every file is reported, not only the first, unless it shows that the rest is no hand-off file (the first
 * line, a line without end, the file's size, a thousand faults): that file is then not read further. A fault is a line that is no record, a record of another race, another
 * race than the first file's, one id with two contents. Blank lines say nothing and are passed over.
 *
 * @param sources at least one
 * @param onBytes called with the number of bytes read since its last call
 */
export async function readHandoffFiles(
  sources: Iterable<HandoffSource>,
  onBytes: (count: number) => void = () => undefined,
): Promise<Attempt<HandoffContent, HandoffFaults>> {
  const readers: HandoffReader[] = [];
  for (const { name, chunks } of sources) {
    const reader = new HandoffReader(name, readers.find((earlier) => earlier.race)?.race);
    for await (const bytes of chunks) {
      reader.push(bytes);
      onBytes(bytes.length);
      if (reader.hopeless) break;
    }
    reader.end();
    readers.push(reader);
  }
  const union = mergeRecords(...readers.map((reader) => reader.records));
  if (union.conflicts.length > 0) reportConflicts(readers, new Set(union.conflicts.map(({ id }) => id)));
  const faults = readers.flatMap((reader) => reader.faults.sort((a, b) => a.line - b.line));
  if (faults.length > 0) return failed({ type: 'handoff-faults', faults });
  const race = readers.flatMap((reader) => reader.race ?? []).reduce(standingRace);
  return succeeded({ race, records: union.records });
}

function reportConflicts(readers: readonly HandoffReader[], ids: ReadonlySet<string>): void {
  const first = new Map<string, { readonly file: string; readonly line: number; readonly content: string }>();
  for (const reader of readers) {
    reader.records.forEach((record, index) => {
      if (!ids.has(record.id)) return;
      const content = recordLine(record);
      const line = reader.lines[index] as number;
      const known = first.get(record.id);
      if (!known) first.set(record.id, { file: reader.file, line, content });
      else if (known.content !== content) {
        reader.fault(`id ${record.id} has other content than in ${known.file}, line ${known.line}`, line);
      }
    });
  }
}

const formatSchema = v.looseObject({ format: v.literal(FORMAT) });
const versionSchema = v.looseObject({ version: v.literal(VERSION) });
const headerSchema = v.strictObject({ format: v.literal(FORMAT), version: v.literal(VERSION), race: raceSchema });

/** Takes one file's bytes and keeps its race, its records with their line numbers, and what is wrong with it. */
class HandoffReader {
  race: Race | undefined;
  readonly records: TallyRecord[] = [];
  /** The line of each of `records`. */
  readonly lines: number[] = [];
  readonly faults: HandoffFault[] = [];
  readonly file: string;
  readonly #expectedRace: Race | undefined;
  readonly #decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  #rest: Uint8Array = new Uint8Array();
  #line = 0;
  #bytes = 0;
  #hopeless = false;

  constructor(file: string, expectedRace: Race | undefined) {
    this.file = file;
    this.#expectedRace = expectedRace;
  }

  /** Whether what follows is no hand-off file whatever it holds, so that it need not be read. */
  get hopeless(): boolean {
    return this.#hopeless;
  }

  push(bytes: Uint8Array): void {
    if (this.#hopeless) return;
    this.#bytes += bytes.length;
    if (this.#bytes > MOST_HANDOFF_BYTES) return this.#giveUp('the file has more than 2 GiB: it is not read further');
    const end = bytes.lastIndexOf(LINE_FEED);
    if (end === -1) {
      this.#rest = joined(this.#rest, bytes);
      if (this.#rest.length > LONGEST_LINE_BYTES) {
        this.#giveUp('this line is too long for a record; the file is not read further');
      }
      return;
    }
    this.#readLines(joined(this.#rest, bytes.subarray(0, end)));
    this.#rest = bytes.slice(end + 1);
  }

  end(): void {
    if (this.#rest.length > 0) this.#readLines(this.#rest);
    this.#rest = new Uint8Array();
    if (this.#line === 0) this.fault('the file is empty; a hand-off file begins with the race', 1);
  }

  #giveUp(message: string): void {
    this.#hopeless = true;
    this.#rest = new Uint8Array();
    this.#line += 1;
    this.fault(message);
  }

  fault(message: string, line = this.#line): void {
    this.faults.push({ file: this.file, line, message });
  }

  /** A whole number of lines, without the last line end. */
  #readLines(bytes: Uint8Array): void {
    const text = this.#decoded(bytes);
    if (text !== undefined) {
      for (const line of text.split('\n')) this.#readLine(line);
      return;
    }
    // Somewhere in here is a byte that is no UTF-8; line by line shows where. A line feed is never part of a character.
    for (let start = 0; start <= bytes.length;) {
      const found = bytes.indexOf(LINE_FEED, start);
      const end = found === -1 ? bytes.length : found;
      this.#readLine(this.#decoded(bytes.subarray(start, end)));
      start = end + 1;
    }
  }

  #decoded(bytes: Uint8Array): string | undefined {
    try {
      return this.#decoder.decode(bytes);
    } catch {
      return undefined;
    }
  }

  #readLine(text: string | undefined): void {
    if (this.#hopeless) return;
    this.#line += 1;
    if (text === undefined) this.fault('this line is not UTF-8 text');
    else if (this.#line === 1) this.#readHeader(text.startsWith('\ufeff') ? text.slice(1) : text);
    else if (text.trim() !== '') this.#readRecord(text);
    if (!this.race || this.faults.length >= MOST_FAULTS) this.#hopeless = true;
  }

  #readHeader(text: string): void {
    const value = parsed(text);
    if (!v.is(formatSchema, value))
      return this.fault(`no hand-off file: it does not begin with {"format":"${FORMAT}", …}`);
    if (!v.is(versionSchema, value))
      return this.fault(`version: expected ${VERSION}; a newer Kerbside may have written it`);
    const { success, output, issues } = v.safeParse(headerSchema, withPlainNames(value), { abortEarly: true });
    if (!success) return this.fault(plainIssue(issues[0]));
    this.race = output.race;
    const expected = this.#expectedRace;
    if (expected && expected.id !== this.race.id) {
      this.fault(
        `race: "${this.race.name}" (${this.race.id}) is another race than "${expected.name}" (${expected.id})`,
      );
    }
  }

  #readRecord(text: string): void {
    const value = parsed(text);
    if (value === undefined) return this.fault('this line is not one whole JSON value');
    const { success, output, issues } = v.safeParse(recordSchema, value, { abortEarly: true });
    if (!success) return this.fault(plainIssue(issues[0]));
    if (this.race && output.race !== this.race.id) return this.fault('race: the record belongs to another race');
    this.records.push(output);
    this.lines.push(this.#line);
  }
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  if (a.length === 0) return b.slice();
  const whole = new Uint8Array(a.length + b.length);
  whole.set(a);
  whole.set(b, a.length);
  return whole;
}

/** `undefined` when the text is no JSON, which no JSON text gives. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}
