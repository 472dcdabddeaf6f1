import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const SHORTEST = 12;

export interface OrganiserKey {
  readonly key: string;
  /** The file in which a key that was just made is kept; undefined for one that was there or given. */
  readonly madeIn?: string;
}

/**
 * The organiser key: the one given, else the one kept in the data folder, else a new one of 128 bits that is kept there,
 * readable by its owner alone. Throws when the given one is too short to keep anybody out, or the folder cannot be written.
 */
export function organiserKey(given: string | undefined, dataFolder: string): OrganiserKey {
  if (given !== undefined && given !== '') {
    if (given.length < SHORTEST)
      throw new Error(`KERBSIDE_ORGANISER_KEY is too short: use ${SHORTEST} characters or more.`);
    return { key: given };
  }
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 });
  const file = join(dataFolder, 'organiser-key');
  const key = randomBytes(16).toString('base64url');
  try {
    // wx: of two processes that start at once in one folder, one makes the key and the other reads it.
    writeFileSync(file, `${key}\n`, { mode: 0o600, flag: 'wx', flush: true });
    return { key, madeIn: file };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
  const kept = readFileSync(file, 'utf8').trim();
  if (kept.length < SHORTEST) throw new Error(`${file} holds no organiser key: delete it to have a new one made.`);
  return { key: kept };
}
