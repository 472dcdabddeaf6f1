import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { checkStore, type StoreReport } from './check-store.ts';
import { setAside, STORE_SIDE_FILES, STORE_FILE, storeFile } from './data-folder.ts';

/** Every page in one step: a second step would begin again at the first page each time the hub writes meanwhile. */
const ALL_PAGES = 0x7fff_ffff;

/**
 * Copies the store of a data folder into one file, by SQLite's online backup: a hub may run and write meanwhile. The copy is
 * the store as it was at one moment after the call, so it has everything that the hub had acknowledged before. It is checked
 * before it gets its name.
 *
 * @returns what is in the copy; with faults, and then without a file, when the copy is not sound
 */
export async function backupStore(folder: string, to: string): Promise<StoreReport> {
  const part = partOf(to);
  try {
    const source = new Database(storeFile(folder), { readonly: true, fileMustExist: true, timeout: 10_000 });
    try {
      await source.backup(part, { progress: () => ALL_PAGES });
    } finally {
      source.close();
    }
    chmodSync(part, 0o600);
    asOneFile(part);
    const report = checkStore(part);
    if (report.faults.length === 0) putInPlace(part, to);
    return report;
  } finally {
    rmSync(part, { force: true });
  }
}

/** Whether a hub, or another program, has the store of a data folder open. */
export function isInUse(folder: string): boolean {
  const file = storeFile(folder);
  if (!existsSync(file)) return false;
  const database = new Database(file, { timeout: 0 });
  try {
    // Whoever has a store with a write-ahead log open holds a lock on its file as long as it is open.
    database.pragma('locking_mode = EXCLUSIVE');
    database.exec('begin exclusive; rollback');
    return false;
  } catch (error) {
    return error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_BUSY');
  } finally {
    database.close();
  }
}

/**
 * Makes a backup the store of a data folder. What was there is set aside, not overwritten. Every race's log gets a new name:
 * arrivals after the backup are numbered anew, so that a cursor from before would skip records. The hub refuses such a cursor,
 * and tablets then bring all their records again, those that the backup lacks among them.
 *
 * @returns what was restored, and where the old store is now; with faults, and then nothing changed, when the backup is not
 *   sound
 */
export function restoreStore(from: string, folder: string): StoreReport & { readonly aside: string | null } {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const part = partOf(storeFile(folder));
  try {
    copyFileSync(from, part);
    chmodSync(part, 0o600);
    const report = checkStore(part);
    if (report.faults.length > 0) return { ...report, aside: null };
    const database = new Database(part);
    database.exec('update race_logs set log = lower(hex(randomblob(8)))');
    database.close();
    asOneFile(part);
    const aside = setAside(folder, [STORE_FILE, ...STORE_SIDE_FILES]);
    putInPlace(part, storeFile(folder));
    return { ...report, aside };
  } finally {
    rmSync(part, { force: true });
  }
}

function partOf(path: string): string {
  return join(dirname(path), `.${randomBytes(6).toString('hex')}.part`);
}

/** Leaves nothing of a copy in files beside it. */
function asOneFile(path: string): void {
  const database = new Database(path);
  database.pragma('journal_mode = DELETE');
  database.close();
}

function putInPlace(part: string, to: string): void {
  sync(part);
  renameSync(part, to);
  sync(dirname(to));
}

function sync(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
