import process from 'node:process';
import { makeCommand, type GivenOptions } from './command-options.ts';

const ACTIONS = ['backup', 'check', 'restore'] as const;
type Action = (typeof ACTIONS)[number];

const OPTIONS = {
  to: { type: 'string' },
  from: { type: 'string' },
  data: { type: 'string' },
  force: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedHub {
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
  run: async (asked, io) => (await import('./hub-run.ts')).runHub(asked, io),
});

function understand({ values, files }: GivenOptions<typeof OPTIONS>): AskedHub | string {
  const action = ACTIONS.find((name) => name === files[0]);
  if (!action || files.length > 1) return `say one of ${ACTIONS.join(', ')}`;
  if (process.env['DATABASE_URL']) return ON_POSTGRES;
  const file = action === 'backup' ? values.to : values.from;
  if (action === 'backup' && !file) return 'say with --to where the backup is to be written';
  if (action === 'restore' && !file) return 'say with --from which backup is to be restored';
  const data = values.data ?? (process.env['KERBSIDE_DATA'] || 'data');
  return { action, file, data, force: values.force ?? false };
}
