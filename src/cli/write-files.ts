import { open, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import process from 'node:process';
import { failed, succeeded, type Outcome } from '../lib/records/outcome.ts';
import type { Io } from './command.ts';

export interface FileToWrite {
  readonly path: string;
  /** The text, piece by piece; written as UTF-8. */
  readonly pieces: Iterable<string>;
}

interface WriteFailure {
  readonly type: 'write-failure';
  readonly path: string;
  readonly reason: string;
}

/**
 * Writes files so that each is there whole or as it was before: to a neighbour first, flushed to the disk, then renamed.
 * None is renamed before all are written. What is no regular file (such as a pipe) is written straight through.
 * One that cannot be written is said on standard error.
 *
 * @returns whether all are there
 */
export async function writeFiles(files: readonly FileToWrite[], io: Io): Promise<boolean> {
  const written = await writeWhole(files);
  if (!written.ok) io.err(`${written.error.path}: cannot be written: ${written.error.reason}\n`);
  return written.ok;
}

async function writeWhole(files: readonly FileToWrite[]): Promise<Outcome<undefined, WriteFailure>> {
  const written: { readonly from: string; readonly to: string }[] = [];
  for (const { path, pieces } of files) {
    try {
      const to = (await isSpecial(path)) ? undefined : join(dirname(path), `.${basename(path)}.${process.pid}.part`);
      if (to) written.push({ from: to, to: path });
      await writePieces(to ?? path, pieces);
    } catch (error) {
      await Promise.all(written.map(({ from }) => rm(from, { force: true })));
      return failed({ type: 'write-failure', path, reason: (error as Error).message });
    }
  }
  for (const { from, to } of written) {
    try {
      await rename(from, to);
    } catch (error) {
      await Promise.all(written.map((file) => rm(file.from, { force: true })));
      return failed({ type: 'write-failure', path: to, reason: (error as Error).message });
    }
  }
  return succeeded(undefined);
}

async function isSpecial(path: string): Promise<boolean> {
  try {
    const found = await stat(path);
    return !found.isFile() && !found.isDirectory();
  } catch {
    return false;
  }
}

const BLOCK_CHARACTERS = 262_144;

async function writePieces(path: string, pieces: Iterable<string>): Promise<void> {
  const file = await open(path, 'w');
  try {
    let block = '';
    for (const piece of pieces) {
      block += piece;
      if (block.length < BLOCK_CHARACTERS) continue;
      await file.write(block);
      block = '';
    }
    await file.write(block);
    // A pipe cannot be flushed, and need not be.
    if ((await file.stat()).isFile()) await file.sync();
  } finally {
    await file.close();
  }
}
