import { canonicalRace, standingRace } from '../../lib/race/canonical-race.ts';
import { recordLine } from '../../lib/records/canonical-record.ts';
import { writeHandoff, type HandoffContent } from '../../lib/tables/handoff-file.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { readHandoff } from './read-handoff.ts';
import { writeFiles } from '../output/write-files.ts';

const OPTIONS = { out: { type: 'string' }, force: { type: 'boolean' } } as const;

interface Asked {
  readonly files: readonly string[];
  readonly out: string;
  readonly force: boolean;
}

/** Unites hand-off files. */
export const command = makeCommand({
  name: 'merge',
  summary: 'Unite hand-off files of one race into one',
  usage: `Usage: npm run --silent kerbside -- merge FILE.ndjson… --out FILE.ndjson [--force]

Writes one hand-off file with every record of the given ones, each once. The order of
the files and naming one twice make no difference: the result is the same to the byte.
The set-up with the greater revision stands.

A line that is no record, one id with two contents or a file of another race is said
with its file and line; then the exit code is 2 and nothing is written.

  --out FILE   where the union goes: none of the files read. A file that is there is replaced
               if it is a hand-off file of the race and the union has all that it has
  --force      replace it whatever it is
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(options: Asked, io: Io): Promise<number> {
  const content = await readHandoff(options.files, io);
  if (!content) return EXIT_FAULT;
  const union = {
    path: options.out,
    pieces: writeHandoff(content.race, content.records),
    replaces: (path: string) => holdsNoMore(path, content),
  };
  return (await writeFiles([union], { inputs: options.files, force: options.force }, io)) ? EXIT_DONE : EXIT_FAULT;
}

const SILENT: Io = { out: () => undefined, err: () => undefined, errIsTerminal: false };

/** Whether the hand-off file at `path` has nothing that `content` lacks: another tablet's would be lost. */
async function holdsNoMore(path: string, content: HandoffContent): Promise<boolean> {
  const there = await readHandoff([path], SILENT);
  if (there?.race.id !== content.race.id) return false;
  const stands = standingRace(content.race, there.race);
  if (JSON.stringify(canonicalRace(stands)) !== JSON.stringify(canonicalRace(content.race))) return false;
  const lines = new Map(content.records.map((record) => [record.id, record]));
  return there.records.every((record) => {
    const same = lines.get(record.id);
    return same !== undefined && recordLine(same) === recordLine(record);
  });
}

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (files.length === 0) return 'name the hand-off files to unite';
  if (!values.out) return 'say with --out where the union is to be written';
  return { files, out: values.out, force: values.force ?? false };
}
