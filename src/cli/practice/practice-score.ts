import { readFile, stat } from 'node:fs/promises';
import { RACE_MIX, type Mix } from '../../lib/practice/practice-levels.ts';
import { scoreAnswers } from '../../lib/practice/score-answers.ts';
import { readPractice, type PracticeTables } from '../../lib/tables/practice/practice-csv.ts';
import { tableFaultWords, type TableFault } from '../../lib/tables/csv/table-fault.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { mixOf } from './practice-options.ts';
import { practiceText } from './practice-text.ts';
import { levelChoice } from '../input/rule-options.ts';
import { sayFaults, unreadable } from '../input/read-tables.ts';

const OPTIONS = {
  answers: { type: 'string' },
  key: { type: 'string' },
  level: { type: 'string' },
  mix: { type: 'string' },
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly answers: string;
  readonly key: string;
  readonly level: number;
  readonly mix: Mix;
  readonly json: boolean;
}

/** A million answers are a tenth of this. */
const MOST_BYTES = 400e6;

/** Scores answers against their key. */
export const command = makeCommand({
  name: 'practice-score',
  summary: "Score observers' practice answers against the key",
  usage: `Usage: npm run --silent kerbside -- practice-score --answers FILE.csv --key FILE.csv
         [--level L] [--mix A,B,C] [--json]

Scores every session of every observer: agreement, kappa, sensitivity and specificity for
rearfoot, near and far foot, pace, drift and whether the session passes.

  --answers FILE   session, observer, position, item, answer, response_ms
  --key FILE       item, class, foot, rate, level; one file with all columns, such as
                   practice.csv, may be named for both
  --level L        level of all intervals, between 0 and 1; by default 0.95
  --mix A,B,C      weights of rearfoot, midfoot and forefoot in the field the score is for;
                   by default those of road races, ${RACE_MIX.join(',')}
  --json           print JSON and nothing else
`,
  options: OPTIONS,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const tables = await readTables(asked, io);
  if (!tables) return EXIT_FAULT;
  const scores = scoreAnswers(tables.answers, tables.key, asked);
  io.out(
    asked.json ? `${JSON.stringify(scores, null, 2)}\n` : practiceText(scores, asked.level, io.width ?? USUAL_WIDTH),
  );
  return EXIT_DONE;
}

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (!values.answers) return 'name the answers with --answers';
  if (!values.key) return 'name the key with --key; a file with all columns may be named for both';
  const level = levelChoice(values.level);
  if (typeof level === 'string') return level;
  const mix = values.mix === undefined ? RACE_MIX : mixOf(values.mix, []);
  if (typeof mix === 'string') return mix;
  return { answers: values.answers, key: values.key, level, mix, json: values.json ?? false };
}

/** Reads both files before it gives up, so that all that is wrong is said at once. */
async function readTables({ answers, key }: Asked, io: Io): Promise<PracticeTables | null> {
  const oneTable = answers === key;
  const answerBytes = await readBytes(answers, io);
  const keyBytes = oneTable ? null : await readBytes(key, io);
  if (answerBytes === undefined || keyBytes === undefined) return null;
  const read = readPractice(answerBytes, keyBytes);
  if (read.ok) return read.value;
  const { error } = read;
  if (error.answers) sayFaults(io, answers, error.answers.faults, error.answers.faultCount);
  if (error.key) {
    // What answers and key have in common is said once.
    const said = new Set(oneTable ? error.answers?.faults.map(tableFaultWords) : []);
    const faults = error.key.faults.filter((fault: TableFault) => !said.has(tableFaultWords(fault)));
    sayFaults(io, key, faults, error.key.faultCount - (error.key.faults.length - faults.length));
  }
  return null;
}

async function readBytes(path: string, io: Io): Promise<Uint8Array | undefined> {
  try {
    const { size } = await stat(path);
    if (size <= MOST_BYTES) return await readFile(path);
    io.err(`${path}: has ${size} bytes, more than practice can have (${MOST_BYTES}): is it another file?\n`);
  } catch (error) {
    io.err(`${path}: ${unreadable(error)}\n`);
  }
  return undefined;
}
