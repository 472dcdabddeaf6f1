import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import type { AskedFindings } from './analyse.ts';
import { readRaceTables } from './read-race-tables.ts';

/** Reads the tables and prints the findings; the exit code. */
export async function runAnalyse(asked: AskedFindings, io: Io): Promise<number> {
  // The tables are read while this loads.
  const computing = import('./shown-findings.ts');
  const race = await readRaceTables('analyse', asked, io);
  if (!race?.fit) return EXIT_FAULT;
  if (asked.list.show) return EXIT_DONE;
  io.out((await computing).shownFindings(race, asked, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}
