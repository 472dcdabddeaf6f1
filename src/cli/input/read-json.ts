import { readFile } from 'node:fs/promises';
import type { Io } from '../command.ts';
import { unreadable } from './read-tables.ts';

/** The value of a JSON file; `undefined` when it cannot be read, which is then said on standard error. */
export async function readJsonFile(path: string, io: Io): Promise<{ json: unknown } | undefined> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
    return undefined;
  }
  try {
    return { json: JSON.parse(text.replace(/^\uFEFF/, '')) as unknown };
  } catch (error) {
    io.err(`${path}: is not JSON: ${(error as Error).message}\n`);
    return undefined;
  }
}
