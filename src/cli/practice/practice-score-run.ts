import { readFile, stat } from 'node:fs/promises';
import { scoreAnswers } from '../../lib/practice/score-answers.ts';
import { readPractice, type PracticeTables } from '../../lib/tables/practice/practice-csv.ts';
import { tableFaultWords, type TableFault } from '../../lib/tables/csv/table-fault.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { practiceText } from './practice-text.ts';
import { sayFaults, unreadable } from '../input/read-tables.ts';
import type { AskedScore } from './practice-score.ts';

/** A million answers are a tenth of this. */
const MOST_BYTES = 400e6;

/** Does what is asked of the command; the exit code. */
export async function runPracticeScore(asked: AskedScore, io: Io): Promise<number> {
  const tables = await readTables(asked, io);
  if (!tables) return EXIT_FAULT;
  const scores = scoreAnswers(tables.answers, tables.key, asked);
  io.out(
    asked.json ? `${JSON.stringify(scores, null, 2)}\n` : practiceText(scores, asked.level, io.width ?? USUAL_WIDTH),
  );
  return EXIT_DONE;
}

/** Reads both files before it gives up, so that all that is wrong is said at once. */
async function readTables({ answers, key }: AskedScore, io: Io): Promise<PracticeTables | null> {
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
