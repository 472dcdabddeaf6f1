import { SINGLE_FOOT_RULES, type SingleFootRule } from '../../lib/sightings/runner-classes.ts';

/** By which rules figures are computed, as every command takes them that computes findings. */
export const RULE_OPTIONS = {
  level: { type: 'string' },
  'single-foot': { type: 'string' },
} as const;

export const RULE_USAGE = `  --level L              level of all intervals, between 0 and 1; by default 0.95
  --single-foot RULE     a runner with one foot seen: exclude (default) leaves them
                         unclassified, use takes that foot's class
`;

export interface RuleChoice {
  readonly level: number;
  readonly singleFoot: SingleFootRule;
}

/** The rules asked for, or one sentence on what is wrong with them. */
export function ruleChoice(values: { level?: string; 'single-foot'?: string }): RuleChoice | string {
  const level = levelChoice(values.level);
  if (typeof level === 'string') return level;
  const singleFoot = SINGLE_FOOT_RULES.find((rule) => rule === (values['single-foot'] ?? 'exclude'));
  if (!singleFoot) return `--single-foot: "${values['single-foot']}" is not one of ${SINGLE_FOOT_RULES.join(', ')}`;
  return { level, singleFoot };
}

/** The level of all intervals, or one sentence on what is wrong with it. */
export function levelChoice(given: string | undefined): number | string {
  const level = given === undefined ? 0.95 : Number(given);
  return level > 0 && level < 1 ? level : `--level: "${given}" is not a number between 0 and 1, such as 0.95`;
}
