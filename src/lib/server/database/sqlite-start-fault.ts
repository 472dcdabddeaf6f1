import type Database from 'better-sqlite3';
import { StartFault } from '../start-fault.ts';
import { storeFile, whatToDo } from './data-folder.ts';

/** Throws when the file holds the tables of another program. */
export function refuseForeign(database: Database.Database, file: string): void {
  const tables = database.prepare<[], string>("select name from sqlite_schema where type = 'table'").pluck().all();
  if (tables.length === 0 || tables.includes('kysely_migration')) return;
  throw new StartFault(
    `${file} is a database of another program (it has a table ${JSON.stringify(tables[0])}). Choose another KERBSIDE_DATA.`,
  );
}

/** What an error on opening the store means for whoever starts the hub; other errors as they are. */
export function sqliteStartFault(error: unknown, folder: string): unknown {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const file = storeFile(folder);
  if (code === 'SQLITE_NOTADB')
    return new StartFault(`${file} is not a database: its content was replaced. ${whatToDo(folder)}`);
  if (code.startsWith('SQLITE_CORRUPT')) return new StartFault(`${file} is damaged. ${whatToDo(folder)}`);
  if (code === 'SQLITE_FULL' || code === 'ENOSPC') {
    return new StartFault(`There is no space left on the disk of ${folder}. Make room there and start again.`);
  }
  if (code.startsWith('SQLITE_BUSY')) {
    return new StartFault(
      `${file} is in use by a program that does not let go of it, such as a restore. Start again later.`,
    );
  }
  if (/^(SQLITE_(CANTOPEN|READONLY|PERM|IOERR)|EACCES|EROFS|EPERM|ENOTDIR)/.test(code)) {
    return new StartFault(
      `The data folder ${folder} cannot be written (${(error as Error).message}). Give the hub's user the right to, or, for a ` +
        'hub without a race so far, choose another folder with KERBSIDE_DATA.',
    );
  }
  return error;
}
