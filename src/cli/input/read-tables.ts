import { open, type FileHandle } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import type { RunnerAnswer } from '../../lib/practice/runner-answer.ts';
import type { Attempt } from '../../lib/records/attempt.ts';
import type { SightingTable } from '../../lib/sightings/sighting-table.ts';
import { readRunnerAnswers } from '../../lib/tables/practice/runner-answers-csv.ts';
import type { SightingOrigins } from '../../lib/tables/sightings/sighting-origins.ts';
import { SightingsReader, type ReadSightings } from '../../lib/tables/sightings/sightings-reader.ts';
import { readValidation, type DrawnRow } from '../../lib/tables/clips/validation-csv.ts';
import { readMarks, type ReadMarks } from '../../lib/tables/clips/marks-reader.ts';
import { tableFaultWords, type TableFault } from '../../lib/tables/csv/table-fault.ts';
import { isZip } from '../../lib/tables/organiser/workbook.ts';
import type { Io } from '../command.ts';
import { CLEAR_LINE } from '../output/harmless-text.ts';
import { readInHalves } from './read-in-halves.ts';
import { sayFaultLines } from './say-fault-lines.ts';

/** What `-` stands for in place of a file's name. */
const STANDARD_INPUT = '/dev/stdin';

const CHUNK_BYTES = 1 << 20;
/** Smaller files are read before anyone could follow a progress line. */
const PROGRESS_FROM_BYTES = 5e6;
/** A million sightings are a thirtieth of this. */
const MOST_SIGHTINGS_BYTES = 4e9;
/** Lists are read as a whole; a field of a million runners is a tenth of this. */
const MOST_LIST_BYTES = 400e6;

/** Says what is wrong with a table, one line for each fault: the first twenty, then how many more. */
export function sayFaults(io: Io, path: string, faults: readonly TableFault[], faultCount: number): void {
  sayFaultLines(io, path, faults.map(tableFaultWords), faultCount);
}

class TooLarge extends Error {}

/**
 * Reads a file piece by piece until `take` wants no more; a piece is only there while `take` runs. Throws `TooLarge` when it
 * has more than `most` bytes, before reading what is known to be too large.
 */
async function readPieces(
  path: string,
  { most, what }: { readonly most: number; readonly what: string },
  io: Io,
  take: (bytes: Uint8Array) => boolean,
): Promise<void> {
  const file = await open(path === '-' ? STANDARD_INPUT : path);
  try {
    const { size } = await file.stat();
    const tooLarge = (bytes: string) =>
      new TooLarge(`has ${bytes} bytes, more than ${what} can have (${most}): is it another file?`);
    const progress = io.errIsTerminal && size >= PROGRESS_FROM_BYTES ? new ReadingProgress(path, size, io) : null;
    let done = 0;
    for await (const bytes of chunksOf(file)) {
      if (!take(bytes)) break;
      // Not before the first piece, which may say better what is wrong.
      if (size > most) throw tooLarge(String(size));
      done += bytes.length;
      if (done > most) throw tooLarge(`more than ${most}`);
      progress?.tell(done);
    }
    if (progress) io.err(CLEAR_LINE);
  } finally {
    await file.close();
  }
}

/** The bytes of a file, piece by piece. The next piece is fetched while the one before is in use, which is over when the next is asked for. */
async function* chunksOf(file: FileHandle): AsyncGenerator<Uint8Array> {
  const buffers = [new Uint8Array(CHUNK_BYTES), new Uint8Array(CHUNK_BYTES)] as const;
  const fetch = (turn: 0 | 1) => file.read(buffers[turn], 0, CHUNK_BYTES);
  let turn: 0 | 1 = 0;
  let coming = fetch(turn);
  try {
    for (;;) {
      const { bytesRead, buffer } = await coming;
      if (bytesRead === 0) return;
      turn = turn === 0 ? 1 : 0;
      coming = fetch(turn);
      // A fault of the next piece is met when it is awaited, not before.
      coming.catch(() => {});
      yield buffer.subarray(0, bytesRead);
    }
  } finally {
    await coming.catch(() => {});
  }
}

class ReadingProgress {
  readonly #path: string;
  readonly #size: number;
  readonly #io: Io;
  #said = -1;

  constructor(path: string, size: number, io: Io) {
    this.#path = path;
    this.#size = size;
    this.#io = io;
  }

  /** Whether anything was said. */
  get begun(): boolean {
    return this.#said >= 0;
  }

  tell(done: number): void {
    const percent = Math.floor((100 * done) / this.#size);
    if (percent > this.#said) this.#io.err(`\rReading ${this.#path}: ${(this.#said = percent)} %`);
  }
}

function hasUtf16Mark(bytes: Uint8Array): boolean {
  return (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
}

/** Why a file cannot be read, in words. */
export function unreadable(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  if (error instanceof TooLarge) return message;
  if (code === 'ENOENT') return 'there is no such file';
  if (code === 'EISDIR') return 'is a directory; expected a CSV file';
  if (code === 'EACCES') return 'may not be read';
  return `cannot be read: ${message}`;
}

/**
 * Reads a sightings file as a stream: memory grows with the sightings, not with the bytes of the file.
 *
 * @param origins filled with what the file says of tablets, for those who ask
 * @returns `undefined` when anything is wrong with it, which is then said on standard error
 */
export async function readSightingsFile(
  path: string,
  io: Io,
  origins: SightingOrigins | null = null,
): Promise<SightingTable | undefined> {
  return (await readSightingsOfRace(path, io, origins))?.table;
}

/** As {@link readSightingsFile}, with the name of the race. */
export async function readSightingsOfRace(
  path: string,
  io: Io,
  origins: SightingOrigins | null = null,
): Promise<ReadSightings | undefined> {
  const halves = origins ? null : await inHalves(path, io);
  if (halves) return halves;
  const reader = new SightingsReader(origins);
  try {
    await readPieces(path, { most: MOST_SIGHTINGS_BYTES, what: 'a sightings table' }, io, (bytes) => {
      reader.push(bytes);
      return !reader.hopeless;
    });
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
    return undefined;
  }
  const read = reader.finish();
  if (read.ok) return read.value;
  sayFaults(io, path, read.error.faults, read.error.faultCount);
  return undefined;
}

/** A large file without fault, read by two threads; `null` for any other. */
async function inHalves(path: string, io: Io): Promise<ReadSightings | null> {
  if (path === '-' || availableParallelism() < 2) return null;
  const progress = io.errIsTerminal ? new ReadingProgress(path, 1, io) : null;
  const read = await readInHalves(path, (share) => progress?.tell(share));
  if (progress?.begun) io.err(CLEAR_LINE);
  return read;
}

/** The bytes of a file that is read as a whole; `undefined` when it cannot be, which is then said. */
export async function readWhole(path: string, what: string, io: Io): Promise<Uint8Array | undefined> {
  const pieces: Uint8Array[] = [];
  try {
    await readPieces(path, { most: MOST_LIST_BYTES, what }, io, (bytes) => {
      pieces.push(bytes.slice());
      // What is no text is said after its first bytes, and may have no end.
      return pieces.length > 1 || isZip(bytes) || !bytes.subarray(0, 65_536).includes(0) || hasUtf16Mark(bytes);
    });
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
    return undefined;
  }
  return Buffer.concat(pieces);
}

/** Reads a practice set with its key; `undefined` when anything is wrong with it, which is then said. */
export const readPracticeFile = (path: string, io: Io): Promise<RunnerAnswer[] | undefined> =>
  readTable(path, 'a practice set', readRunnerAnswers, io);

/** Reads who was drawn for review on clip; `undefined` when anything is wrong with it, which is then said. */
export const readValidationFile = (path: string, io: Io): Promise<DrawnRow[] | undefined> =>
  readTable(path, 'a table of drawn runners', readValidation, io);

/** Reads a table of marks; `undefined` when anything is wrong with it, which is then said. */
export const readMarksFile = (path: string, io: Io): Promise<ReadMarks | undefined> =>
  readTable(path, 'marks', readMarks, io);

interface TableFaults {
  readonly type: string;
  readonly faults: readonly TableFault[];
  readonly faultCount: number;
}

async function readTable<Table>(
  path: string,
  what: string,
  read: (bytes: Uint8Array) => Attempt<Table, TableFaults>,
  io: Io,
): Promise<Table | undefined> {
  const bytes = await readWhole(path, what, io);
  if (!bytes) return undefined;
  const table = read(bytes);
  if (table.ok) return table.value;
  sayFaults(io, path, table.error.faults, table.error.faultCount);
  return undefined;
}
