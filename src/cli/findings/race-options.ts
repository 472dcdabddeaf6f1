import type { GivenOptions } from '../command-options.ts';
import { LIST_OPTIONS, LIST_USAGE, listChoice, type ListChoice } from '../input/list-options.ts';
import { RULE_OPTIONS, RULE_USAGE, ruleChoice, type RuleChoice } from '../input/rule-options.ts';

/** The tables of a race and how they are analysed, as `analyse` and `report` take them. */
export const RACE_OPTIONS = {
  sightings: { type: 'string' },
  results: { type: 'string' },
  marks: { type: 'string' },
  practice: { type: 'string' },
  early: { type: 'string' },
  late: { type: 'string' },
  ...RULE_OPTIONS,
  ...LIST_OPTIONS,
} as const;

/** What stands last in a command's usage: how a race is analysed and how its results are read. */
export const RACE_USAGE = `  --early, --late NAME   the two checkpoints to compare; by default the first and the last
${RULE_USAGE}How the results are read:
${LIST_USAGE}`;

export interface RaceChoice extends RuleChoice {
  readonly sightings: string | undefined;
  readonly results: string | undefined;
  readonly marks: string | undefined;
  readonly practice: string | undefined;
  readonly early: string | undefined;
  readonly late: string | undefined;
  readonly list: ListChoice;
}

/** What is asked of a race, or one sentence on what is wrong with it. */
export function raceChoice(values: GivenOptions<typeof RACE_OPTIONS>['values']): RaceChoice | string {
  const { sightings, results, marks, practice, early, late } = values;
  const rules = ruleChoice(values);
  if (typeof rules === 'string') return rules;
  if (sightings === '-' && results === '-') return 'standard input (-) can stand for one file only';
  const list = listChoice(values);
  if (typeof list === 'string') return list;
  return { sightings, results, marks, practice, early, late, ...rules, list };
}
