import { existsSync } from 'node:fs';
import process from 'node:process';
import { backupStore, isInUse, restoreStore } from '../lib/server/database/backup.ts';
import { checkStore, type StoreReport } from '../lib/server/database/check-store.ts';
import { KEY_FILE, storeFile, STORE_SIDE_FILES } from '../lib/server/database/data-folder.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { fileFault } from './input/file-fault.ts';
import { isRefused, refuseOutputs } from './output/refuse-outputs.ts';

const ACTIONS = ['backup', 'check', 'restore'] as const;
type Action = (typeof ACTIONS)[number];

const OPTIONS = {
  to: { type: 'string' },
  from: { type: 'string' },
  data: { type: 'string' },
  force: { type: 'boolean' },
} as const;

interface Asked {
  readonly action: Action;
  /** The backup: written, read, or undefined for the store itself. */
  readonly file: string | undefined;
  readonly data: string;
  readonly force: boolean;
}

const ON_POSTGRES =
  'this hub is on PostgreSQL (DATABASE_URL): back it up with pg_dump, and restore that with pg_restore into an empty database ' +
  'while no hub runs; for a standby see the README';

/** Backs up, checks and restores the hub's store. */
export const command = makeCommand({
  name: 'hub',
  summary: "Back up, check and restore the hub's store",
  usage: `Usage: npm run --silent kerbside -- hub backup --to FILE [--data FOLDER] [--force]
       npm run --silent kerbside -- hub check [--from FILE] [--data FOLDER]
       npm run --silent kerbside -- hub restore --from FILE [--data FOLDER]

backup   copies the store while the hub runs: all that it had acknowledged before is in the
         copy. A copy holds personal data and the race's codes: keep it as you keep the hub.
check    reads all of the store, or of a backup, and says what is wrong with it
restore  makes a backup the store of a folder on which no hub runs; what was there is set
         aside. Tablets then bring what the backup lacks by themselves.

  --to FILE      the backup to write
  --from FILE    the backup to read
  --data FOLDER  the hub's data folder; by default KERBSIDE_DATA, else data
  --force        replace a file that is there
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  const action = ACTIONS.find((name) => name === files[0]);
  if (!action || files.length > 1) return `say one of ${ACTIONS.join(', ')}`;
  if (process.env['DATABASE_URL']) return ON_POSTGRES;
  const file = action === 'backup' ? values.to : values.from;
  if (action === 'backup' && !file) return 'say with --to where the backup is to be written';
  if (action === 'restore' && !file) return 'say with --from which backup is to be restored';
  const data = values.data ?? (process.env['KERBSIDE_DATA'] || 'data');
  return { action, file, data, force: values.force ?? false };
}

async function run(asked: Asked, io: Io): Promise<number> {
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

function check({ file, data }: Asked, io: Io): number {
  const checked = file ?? storeIn(data, io);
  return checked === null ? EXIT_FAULT : tell(checked, checkStore(checked), io);
}

async function backup({ file = '', data, force }: Asked, io: Io): Promise<number> {
  const store = storeIn(data, io);
  if (store === null) return EXIT_FAULT;
  const inputs = [store, ...STORE_SIDE_FILES.map((name) => `${data}/${name}`), `${data}/${KEY_FILE}`];
  if (isRefused(await refuseOutputs([{ path: file }], { inputs, force }), io)) return EXIT_FAULT;
  return tell(file, await backupStore(data, file), io);
}

function restore({ file = '', data }: Asked, io: Io): number {
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
