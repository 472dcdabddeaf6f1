import { existsSync } from 'node:fs';
import { backupStore, isInUse, restoreStore } from '../lib/server/database/backup.ts';
import { checkStore, type StoreReport } from '../lib/server/database/check-store.ts';
import { KEY_FILE, storeFile, STORE_SIDE_FILES } from '../lib/server/database/data-folder.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { fileFault } from './input/file-fault.ts';
import { isRefused, refuseOutputs } from './output/refuse-outputs.ts';
import type { AskedHub } from './hub.ts';

/** Does what is asked of the command; the exit code. */
export async function runHub(asked: AskedHub, io: Io): Promise<number> {
  try {
    if (asked.action === 'check') return check(asked, io);
    return asked.action === 'backup' ? await backup(asked, io) : restore(asked, io);
  } catch (error) {
    io.err(`kerbside hub: ${asked.file}: ${fileFault(error)}\n`);
    return EXIT_FAULT;
  }
}

/** The data folder's store, unless there is none, which is then said. */
function storeIn(data: string, io: Io): string | null {
  const store = storeFile(data);
  if (existsSync(store)) return store;
  io.err(`${store}: there is no store; name the hub's data folder with --data\n`);
  return null;
}

function check({ file, data }: AskedHub, io: Io): number {
  const checked = file ?? storeIn(data, io);
  return checked === null ? EXIT_FAULT : tell(checked, checkStore(checked), io);
}

async function backup({ file = '', data, force }: AskedHub, io: Io): Promise<number> {
  const store = storeIn(data, io);
  if (store === null) return EXIT_FAULT;
  const inputs = [store, ...STORE_SIDE_FILES.map((name) => `${data}/${name}`), `${data}/${KEY_FILE}`];
  if (isRefused(await refuseOutputs([{ path: file }], { inputs, force }), io)) return EXIT_FAULT;
  return tell(file, await backupStore(data, file), io);
}

function restore({ file = '', data }: AskedHub, io: Io): number {
  if (isInUse(data)) {
    io.err(`${data}: a hub runs on this folder; stop it first\n`);
    return EXIT_FAULT;
  }
  const { aside, ...report } = restoreStore(file, data);
  if (aside) io.err(`What was there is now in ${aside}\n`);
  return tell(report.faults.length > 0 ? file : storeFile(data), report, io);
}

function tell(file: string, { races, faults }: StoreReport, io: Io): number {
  for (const fault of faults) io.err(`${file}: ${fault}\n`);
  if (faults.length > 0) return EXIT_FAULT;
  io.out(`${file} is sound: ${races.length === 1 ? '1 race' : `${races.length} races`}\n`);
  for (const { name, date, records } of races)
    io.out(`  ${name}, ${date}: ${records === 1 ? '1 record' : `${records} records`}\n`);
  return EXIT_DONE;
}
