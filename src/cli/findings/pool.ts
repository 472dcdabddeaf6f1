import { poolRaces } from '../../lib/findings/pool/pool-races.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { poolText } from './pool-text.ts';
import { listChoice, READING_OPTIONS, READING_USAGE } from '../input/list-options.ts';
import { RULE_OPTIONS, RULE_USAGE, ruleChoice } from '../input/rule-options.ts';
import { namedFiles, readSeason, type SeasonFiles, type SeasonRules } from './read-season.ts';

const OPTIONS = {
  races: { type: 'string' },
  ...RULE_OPTIONS,
  ...READING_OPTIONS,
  json: { type: 'boolean' },
} as const;

interface Asked extends SeasonRules {
  readonly from: SeasonFiles;
  readonly json: boolean;
}

/** Says what several races say together. */
export const command = makeCommand({
  name: 'pool',
  summary: 'One answer from several races: pooled share, shift and trend, and people over races',
  usage: `Usage: npm run --silent kerbside -- pool FINDINGS.json FINDINGS.json … [--level 0.95] [--json]
       npm run --silent kerbside -- pool --races LIST.csv [--level 0.95]
         [--single-foot exclude|use] [--json]

Pools races by a random-effects model (REML, Hartung–Knapp) and prints the answer as text
or as one JSON object. A fault in any file is said on standard error; then nothing is
printed and the exit code is 2.

  FINDINGS.json          what kerbside analyse --json printed, one race each, named by the
                         file or as NAME=FINDINGS.json; holds no runner
  --races LIST.csv       race, sightings, results and, if wanted, early, late: tables of
                         each race, with paths from the list's folder; results may have a
                         column Runner code, by which people are followed over races
${RULE_USAGE}                         (of tables, with --races)
  --json                 print JSON and nothing else
How the results of a list are read, all in one way:
${READING_USAGE}`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const season = await readSeason(asked.from, asked, io);
  if (!season) return EXIT_FAULT;
  const pooled = poolRaces(season.races, season.runners, asked.level);
  const width = io.width ?? DEFAULT_WIDTH;
  io.out(asked.json ? `${JSON.stringify(pooled, null, 2)}\n` : poolText(pooled, asked.level, width));
  return EXIT_DONE;
}

/** Columns of a terminal that does not say how wide it is. */
const DEFAULT_WIDTH = 96;

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  const rules = ruleChoice(values);
  if (typeof rules === 'string') return rules;
  const list = listChoice(values);
  if (typeof list === 'string') return list;
  const { races } = values;
  if (races !== undefined && files.length > 0) return 'name findings files or a list with --races, not both';
  if (races !== undefined) return { from: races, ...rules, list, json: values.json ?? false };
  if (files.length === 0) return 'name findings files, or a list of races with --races';
  if (values['single-foot']) return '--single-foot goes with --races: findings are classed already';
  const from = namedFiles(files);
  if (typeof from === 'string') return from;
  return { from, ...rules, list, json: values.json ?? false };
}
