import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { KEY_FILE } from '../database/data-folder.ts';
import { StartFault } from '../start-fault.ts';

const SHORTEST = 12;
/** What is longer is a file pasted by mistake, and no header carries much more. */
const LONGEST = 200;

export interface OrganiserKey {
  readonly key: string;
  /** The file in which a key that was just made is kept; undefined for one that was there or given. */
  readonly madeIn?: string;
}

/**
 * The organiser key that was given, or undefined when none was. Throws when it is too short to keep anybody out or could
 * not be sent with a call.
 */
export function givenOrganiserKey(given: string | undefined): string | undefined {
  if (given === undefined || given === '') return undefined;
  const flaw = flawOf(given);
  if (flaw) throw new StartFault(`KERBSIDE_ORGANISER_KEY ${flaw}`);
  return given;
}

/** The key kept in the data folder, or a new one of 128 bits that is kept there, readable by its owner alone. */
export function keptOrganiserKey(dataFolder: string): OrganiserKey {
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 });
  const file = join(dataFolder, KEY_FILE);
  const key = randomBytes(16).toString('base64url');
  try {
    // wx: of two processes that start at once in one folder, one makes the key and the other reads it.
    writeFileSync(file, `${key}\n`, { mode: 0o600, flag: 'wx', flush: true });
    return { key, madeIn: file };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
  const kept = readFileSync(file, 'utf8').trim();
  const flaw = flawOf(kept);
  if (flaw) throw new StartFault(`The organiser key in ${file} ${flaw} Delete that file to have a new one made.`);
  return { key: kept };
}

/** Why a key cannot be used, as the rest of a sentence. */
function flawOf(key: string): string | null {
  if (key.length < SHORTEST) return `is too short: use ${SHORTEST} characters or more.`;
  if (key.length > LONGEST) return `is too long: use ${LONGEST} characters at most.`;
  if (/\s/.test(key)) return 'has a space in it: use letters, digits and symbols without spaces.';
  // As \x21-\x7e: what a header carries and anyone can type.
  return /^[!-~]+$/.test(key)
    ? null
    : 'has a character beyond ASCII: use the letters, digits and symbols of an English keyboard.';
}
