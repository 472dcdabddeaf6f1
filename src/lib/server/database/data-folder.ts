import { chmodSync, existsSync, mkdirSync, readdirSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { StartFault } from '../start-fault.ts';

/** The database's file, and those that SQLite keeps beside it. */
export const STORE_FILE = 'hub.sqlite';
export const STORE_SIDE_FILES = [`${STORE_FILE}-wal`, `${STORE_FILE}-journal`, `${STORE_FILE}-shm`];
export const KEY_FILE = 'organiser-key';
/** Where what was there before goes when a store is begun anew or restored. */
const SET_ASIDE = 'set-aside-';
/** Another process that starts in the same folder fills its file within this time. */
const FILLED_WITHIN_MS = 2_000;

export const storeFile = (folder: string) => join(folder, STORE_FILE);

/**
 * Makes the data folder if it is not there, and lets nobody but its owner look into it and its files. Where that cannot be
 * done it says why.
 *
 * @param say told of what stays open to others
 */
export function guardDataFolder(folder: string, say: (sentence: string) => void = (text) => console.error(text)): void {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const names = readdirSync(folder);
  const foreign = names.find((name) => !isOurs(name));
  if (foreign === undefined) guard(folder, 0o700, say);
  else if (isOpen(folder)) {
    say(
      `${folder} can be read by others and is left so: it also holds ${JSON.stringify(foreign)}, which is not Kerbside's.`,
    );
  }
  for (const name of [STORE_FILE, ...STORE_SIDE_FILES, KEY_FILE]) {
    if (names.includes(name)) guard(join(folder, name), 0o600, say);
  }
}

function isOurs(name: string): boolean {
  return [STORE_FILE, ...STORE_SIDE_FILES, KEY_FILE, 'tls'].includes(name) || name.startsWith(SET_ASIDE);
}

const isOpen = (path: string) => (statSync(path).mode & 0o077) !== 0;

/** Takes the rights of all but the owner away. */
export function guard(path: string, mode: number, say: (sentence: string) => void): void {
  try {
    if (isOpen(path)) chmodSync(path, mode);
  } catch (error) {
    say(`${path} can be read by others, which cannot be changed: ${(error as Error).message}`);
  }
}

/**
 * Stops where a store has been and is gone: begun anew it would hide somebody's race. A missing store in a folder with no
 * trace of one is a first start.
 *
 * @param anew whether to begin anew all the same; what is left of the old store is then set aside
 */
export async function refuseLostStore(folder: string, anew: boolean): Promise<void> {
  const lost = await whatIsLost(folder);
  if (lost === null) return;
  if (anew) setAside(folder, [STORE_FILE, ...STORE_SIDE_FILES]);
  else throw new StartFault(`${lost} ${whatToDo(folder)}`);
}

async function whatIsLost(folder: string): Promise<string | null> {
  const file = storeFile(folder);
  if (sizeOf(file) === 0) await sleep(FILLED_WITHIN_MS);
  const size = sizeOf(file);
  if (size !== undefined && size > 0) return null;
  const state = size === 0 ? 'is empty' : 'is missing';
  const beside = STORE_SIDE_FILES.find((name) => !name.endsWith('-shm') && (sizeOf(join(folder, name)) ?? 0) > 0);
  if (beside) return `${file} ${state}, but ${beside} beside it holds records of a race.`;
  if (existsSync(join(folder, KEY_FILE))) return `${file} ${state}, but the organiser key of a hub is beside it.`;
  return size === 0 ? `${file} is empty: a hub leaves no empty file.` : null;
}

/** The same advice wherever a store is lost or damaged. */
export function whatToDo(folder: string): string {
  return (
    `Nothing was changed. Stop every hub on this folder and copy the folder elsewhere first. Then put ${STORE_FILE} back, or ` +
    `restore a backup: npm run kerbside -- hub restore --from FILE --data ${folder}. To begin with no race at all, start once ` +
    'with KERBSIDE_NEW=1.'
  );
}

/** Moves files of the folder into a new one within it, which says when; its path, or null when none of them is there. */
export function setAside(folder: string, names: readonly string[]): string | null {
  const there = names.filter((name) => existsSync(join(folder, name)));
  if (there.length === 0) return null;
  const aside = join(folder, `${SET_ASIDE}${new Date().toISOString().replaceAll(/[:.]/g, '-')}`);
  mkdirSync(aside, { mode: 0o700 });
  for (const name of there) renameSync(join(folder, name), join(aside, name));
  return aside;
}

function sizeOf(path: string): number | undefined {
  return statSync(path, { throwIfNoEntry: false })?.size;
}
