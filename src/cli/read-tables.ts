import { open, readFile, stat } from 'node:fs/promises';
import type { SightingTable } from '../lib/sightings/sighting-table.ts';
import {
  readOrganiserFile,
  type OrganiserKind,
  type OrganiserOptions,
  type OrganiserRows,
} from '../lib/tables/organiser-file.ts';
import type { SightingOrigins } from '../lib/tables/sighting-origins.ts';
import { FAULTS_KEPT, SightingsReader } from '../lib/tables/sightings-reader.ts';
import { faultText, type TableFault } from '../lib/tables/table-fault.ts';
import type { Io } from './command.ts';

const CHUNK_BYTES = 1 << 20;
/** Smaller files are read before anyone could follow a progress line. */
const PROGRESS_FROM_BYTES = 5e6;
/** Lists are read as a whole; a field of a million runners is a tenth of this. */
const MOST_LIST_BYTES = 400e6;
const LIST_WORDS: Record<OrganiserKind, string> = { startlist: 'a start list', results: 'results' };

/** Says what is wrong with a file, one line for each fault: the first {@link FAULTS_KEPT}, then how many more. */
export function sayFaults(io: Io, path: string, faults: readonly TableFault[], faultCount: number): void {
  const said = faults.slice(0, FAULTS_KEPT);
  for (const fault of said) io.err(`${path}: ${faultText(fault)}\n`);
  const more = faultCount - said.length;
  if (more > 0) io.err(`${path}: and ${more} more ${more === 1 ? 'fault' : 'faults'}\n`);
}

/** Why a file cannot be read, in words. */
export function unreadable(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
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
  const reader = new SightingsReader(origins);
  try {
    const file = await open(path);
    try {
      const { size } = await file.stat();
      const progress = io.errIsTerminal && size >= PROGRESS_FROM_BYTES;
      const buffer = new Uint8Array(CHUNK_BYTES);
      let done = 0;
      let said = -1;
      for (;;) {
        const { bytesRead } = await file.read(buffer, 0, CHUNK_BYTES);
        if (bytesRead === 0 || reader.hopeless) break;
        reader.push(buffer.subarray(0, bytesRead));
        done += bytesRead;
        const percent = Math.floor((100 * done) / size);
        if (progress && percent > said) io.err(`\rReading ${path}: ${(said = percent)} %`);
      }
      if (progress) io.err('\r\u001b[K');
    } finally {
      await file.close();
    }
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
    return undefined;
  }
  const read = reader.finish();
  if (read.ok) return read.value.table;
  sayFaults(io, path, read.error.faults, read.error.faultCount);
  return undefined;
}

/**
 * Reads a start list or results as the app's import does. What was converted or left out is said on standard error.
 *
 * @returns `undefined` when anything is wrong with the file, which is then said on standard error
 */
export async function readListFile<Kind extends OrganiserKind>(
  path: string,
  kind: Kind,
  options: OrganiserOptions,
  io: Io,
): Promise<OrganiserRows[Kind][] | undefined> {
  let bytes: Uint8Array;
  try {
    const { size } = await stat(path);
    if (size > MOST_LIST_BYTES) {
      const most = `more than ${LIST_WORDS[kind]} can have (${MOST_LIST_BYTES})`;
      io.err(`${path}: has ${size} bytes, ${most}: is it another file?\n`);
      return undefined;
    }
    bytes = await readFile(path);
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
    return undefined;
  }
  const { rows, faults, faultCount, said } = readOrganiserFile(bytes, kind, options);
  if (faultCount > 0) {
    sayFaults(io, path, faults, faultCount);
    return undefined;
  }
  for (const sentence of said) io.err(`${path}: ${sentence}\n`);
  return rows;
}
