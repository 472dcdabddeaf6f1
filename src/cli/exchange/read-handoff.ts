import { createReadStream, statSync } from 'node:fs';
import { MOST_HANDOFF_BYTES, readHandoffFiles, type HandoffContent } from '../../lib/tables/handoff-file.ts';
import type { Io } from '../command.ts';
import { fileFault } from '../input/file-fault.ts';

const FAULTS_SAID = 20;

/**
 * Reads hand-off files and unites them. What is wrong with them is said on standard error, one line for each fault (the
 * first 20, then a count).
 *
 * @returns `undefined` when anything was wrong
 */
export async function readHandoff(paths: readonly string[], io: Io): Promise<HandoffContent | undefined> {
  const sources = paths.map((path) => ({ name: path, chunks: piecesOf(path) }));
  try {
    const read = await readHandoffFiles(sources);
    if (read.ok) return read.value;
    const { faults } = read.error;
    for (const { file, line, message } of faults.slice(0, FAULTS_SAID)) io.err(`${file}: line ${line}: ${message}\n`);
    if (faults.length > FAULTS_SAID) io.err(`and ${faults.length - FAULTS_SAID} more faults\n`);
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    io.err(`${error.message}\n`);
  }
  return undefined;
}

class UnreadableFile extends Error {}

async function* piecesOf(path: string): AsyncGenerator<Uint8Array> {
  try {
    const { size } = statSync(path);
    for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 })) {
      yield piece as Uint8Array;
      // Not before the first piece, which may say better what is wrong.
      if (size > MOST_HANDOFF_BYTES) {
        const most = `more than a hand-off file can have (${MOST_HANDOFF_BYTES})`;
        throw new UnreadableFile(`${path}: has ${size} bytes, ${most}: is it another file?`);
      }
    }
  } catch (error) {
    if (error instanceof UnreadableFile) throw error;
    throw new UnreadableFile(`${path}: cannot be read: ${fileFault(error)}`);
  }
}
