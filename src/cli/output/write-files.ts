import { randomBytes } from 'node:crypto';
import { open, readlink, realpath, rename, rm, stat, type FileHandle } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { failed, succeeded, type Attempt } from '../../lib/records/attempt.ts';
import type { Io } from '../command.ts';
import { fileFault } from '../input/file-fault.ts';
import { isRefused, type Output, type OutputGuard, refuseOutputs } from './refuse-outputs.ts';

export interface FileToWrite extends Output {
  /** The text, piece by piece; written as UTF-8. */
  readonly pieces: Iterable<string>;
}

interface WriteFailure {
  readonly type: 'write-failure';
  readonly path: string;
  readonly reason: string;
}

/** Where the text goes at first, and where it is to stand. */
interface Written {
  readonly from: string;
  readonly to: string;
}

/**
 * Writes files so that each is there whole or as it was before: to a neighbour first, flushed to the disk, then renamed.
 * None is renamed before all are written. A file that is replaced keeps its mode, and a link goes on pointing to it. What
 * is no regular file (such as a pipe) is written straight through. What cannot be written, or must not be, is said on
 * standard error.
 *
 * @returns whether all are there
 */
export async function writeFiles(files: readonly FileToWrite[], guard: OutputGuard, io: Io): Promise<boolean> {
  if (isRefused(await refuseOutputs(files, guard), io)) return false;
  const written = await writeWhole(files);
  if (!written.ok) io.err(`${written.error.path}: cannot be written: ${written.error.reason}\n`);
  return written.ok;
}

async function writeWhole(files: readonly FileToWrite[]): Promise<Attempt<undefined, WriteFailure>> {
  const written: Written[] = [];
  const giveUp = async (path: string, error: unknown) => {
    await Promise.all(written.map(({ from }) => rm(from, { force: true })));
    return failed<WriteFailure>({ type: 'write-failure', path, reason: fileFault(error) });
  };
  for (const { path, pieces } of files) {
    try {
      const standing = await stat(path).catch(() => undefined);
      if (standing && !standing.isFile() && !standing.isDirectory()) {
        await writePieces(await open(path, 'w'), pieces);
        continue;
      }
      const to = await endOfLinks(path);
      const from = join(dirname(to), `.${basename(to)}.${randomBytes(6).toString('hex')}.part`);
      const file = await open(from, 'wx');
      written.push({ from, to });
      await writePieces(file, pieces, standing?.mode);
    } catch (error) {
      return giveUp(path, error);
    }
  }
  for (const { from, to } of written) {
    try {
      await rename(from, to);
      await syncFolder(dirname(to));
    } catch (error) {
      return giveUp(to, error);
    }
  }
  return succeeded(undefined);
}

const MOST_LINKS = 40;

/** The file to which a link points in the end, whether or not it is there; `path` itself when it is no link. */
async function endOfLinks(path: string): Promise<string> {
  let to = path;
  for (let links = 0; links < MOST_LINKS; links += 1) {
    const next = await readlink(to).catch(() => null);
    if (next === null) return join(await realpath(dirname(to)), basename(to));
    to = join(next.startsWith('/') ? '' : dirname(to), next);
  }
  throw new Error('its links form a loop');
}

/** Without this a file that was renamed may be back under its old name after the power was cut. */
async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r').catch(() => null);
  // Some systems do not open folders, some do not sync them.
  await handle?.sync().catch(() => undefined);
  await handle?.close();
}

const BLOCK_CHARACTERS = 262_144;

/** @param mode what the file may be used for by whom, where it replaces one */
async function writePieces(file: FileHandle, pieces: Iterable<string>, mode?: number): Promise<void> {
  try {
    let block = '';
    for (const piece of pieces) {
      block += piece;
      if (block.length < BLOCK_CHARACTERS) continue;
      await file.writeFile(block);
      block = '';
    }
    await file.writeFile(block);
    // A pipe cannot be flushed, and need not be.
    if (!(await file.stat()).isFile()) return;
    if (mode !== undefined) await file.chmod(mode & 0o7777);
    await file.sync();
  } finally {
    await file.close();
  }
}
