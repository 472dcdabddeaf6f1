import { writeHandoff } from '../lib/tables/handoff-file.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { readHandoff } from './read-handoff.ts';
import { writeFiles } from './write-files.ts';

const OPTIONS = { out: { type: 'string' } } as const;

interface Asked {
  readonly files: readonly string[];
  readonly out: string;
}

/** Unites hand-off files. */
export const command = makeCommand({
  name: 'merge',
  summary: 'Unite hand-off files of one race into one',
  usage: `Usage: npm run --silent kerbside -- merge FILE.ndjson… --out FILE.ndjson

Writes one hand-off file with every record of the given ones, each once. The order of
the files and naming one twice make no difference: the result is the same to the byte.
The set-up with the greater revision stands.

A line that is no record, one id with two contents or a file of another race is said
with its file and line; then the exit code is 2 and nothing is written.

  --out FILE   where the union goes; a file that is there is replaced once all is read
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(options: Asked, io: Io): Promise<number> {
  const content = await readHandoff(options.files, io);
  if (!content) return EXIT_FAULT;
  const union = { path: options.out, pieces: writeHandoff(content.race, content.records) };
  return (await writeFiles([union], io)) ? EXIT_DONE : EXIT_FAULT;
}

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (files.length === 0) return 'name the hand-off files to unite';
  if (!values.out) return 'say with --out where the union is to be written';
  return { files, out: values.out };
}
