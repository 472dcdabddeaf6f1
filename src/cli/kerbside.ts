import process from 'node:process';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { fileFault } from './input/file-fault.ts';
import { harmlessLine, harmlessText } from './output/harmless-text.ts';
import { runCommandLine, type Commands } from './run-command-line.ts';

// One line for each command, in the order of the help text.
const COMMANDS: Commands = {
  plan: () => import('./plan/plan.ts'),
  analyse: () => import('./findings/analyse.ts'),
  report: () => import('./findings/report.ts'),
  merge: () => import('./exchange/merge.ts'),
  export: () => import('./exchange/export.ts'),
  check: () => import('./check/check.ts'),
  pool: () => import('./findings/pool.ts'),
  clip: () => import('./clip.ts'),
  'practice-set': () => import('./practice/practice-set.ts'),
  'practice-score': () => import('./practice/practice-score.ts'),
  hub: () => import('./hub.ts'),
};

const io: Io = {
  out: (text) => void process.stdout.write(harmlessText(text)),
  err: (text) => void process.stderr.write(harmlessLine(text)),
  errIsTerminal: process.stderr.isTTY,
  width: process.stdout.columns ?? columnsOf(process.env['COLUMNS']),
};

/** A width that the environment tells; too narrow a one is none. */
function columnsOf(said: string | undefined): number | undefined {
  const columns = Number(said);
  return Number.isInteger(columns) && columns >= 20 ? columns : undefined;
}

// A full disk and a reader that has gone (`kerbside … | head`) are no faults of ours and need no stack trace.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  const gone = error.code === 'EPIPE';
  const why = gone ? 'its reader has gone' : fileFault(error);
  io.err(`kerbside: standard output was not written to its end: ${why}\n`);
  process.exit(gone ? EXIT_DONE : EXIT_FAULT);
});
// There is nowhere left to say it.
process.stderr.on('error', () => process.exit(EXIT_FAULT));

// Not process.exit(): output still on its way to a pipe would be cut off.
process.exitCode = await runCommandLine(process.argv.slice(2), COMMANDS, io);
