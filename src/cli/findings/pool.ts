import { makeCommand, type GivenOptions } from '../command-options.ts';
import { listChoice, READING_OPTIONS, READING_USAGE } from '../input/list-options.ts';
import { RULE_OPTIONS, RULE_USAGE, ruleChoice } from '../input/rule-options.ts';
import { namedFiles, type SeasonFiles } from './named-files.ts';
import type { SeasonRules } from './read-season.ts';

const OPTIONS = {
  races: { type: 'string' },
  ...RULE_OPTIONS,
  ...READING_OPTIONS,
  json: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedPool extends SeasonRules {
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
  run: async (asked, io) => (await import('./pool-run.ts')).runPool(asked, io),
});

function understand({ values, files }: GivenOptions<typeof OPTIONS>): AskedPool | string {
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
