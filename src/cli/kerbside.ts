import process from 'node:process';
import type { Io } from './command.ts';
import { runCommandLine, type Commands } from './run-command-line.ts';

// One line for each command, in the order of the help text.
const COMMANDS: Commands = {
  analyse: () => import('./analyse.ts'),
  merge: () => import('./merge.ts'),
  export: () => import('./export.ts'),
  check: () => import('./check.ts'),
  'practice-set': () => import('./practice-set.ts'),
  'practice-score': () => import('./practice-score.ts'),
};

const io: Io = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  errIsTerminal: process.stderr.isTTY,
};

// `kerbside … | head` closes the pipe early: that is no fault of ours and needs no stack trace.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

// Not process.exit(): output still on its way to a pipe would be cut off.
process.exitCode = await runCommandLine(process.argv.slice(2), COMMANDS, io);
