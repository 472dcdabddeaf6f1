import { createReadStream } from 'node:fs';
import { readHandoffFiles, type HandoffContent } from '../lib/tables/handoff-file.ts';
import type { Io } from './command.ts';

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
    for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 })) yield piece as Uint8Array;
  } catch (error) {
    throw new UnreadableFile(`${path}: cannot be read: ${(error as Error).message}`);
  }
}
