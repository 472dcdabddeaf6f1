import { poolRaces } from '../../lib/findings/pool/pool-races.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { poolText } from './pool-text.ts';
import { readSeason } from './read-season.ts';
import type { AskedPool } from './pool.ts';

/** Does what is asked of the command; the exit code. */
export async function runPool(asked: AskedPool, io: Io): Promise<number> {
  const season = await readSeason(asked.from, asked, io);
  if (!season) return EXIT_FAULT;
  const pooled = poolRaces(season.races, season.runners, asked.level);
  const width = io.width ?? DEFAULT_WIDTH;
  io.out(asked.json ? `${JSON.stringify(pooled, null, 2)}\n` : poolText(pooled, asked.level, width));
  return EXIT_DONE;
}

/** Columns of a terminal that does not say how wide it is. */
const DEFAULT_WIDTH = 96;
