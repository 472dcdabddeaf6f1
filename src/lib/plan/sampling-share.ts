import type { SamplingRule } from '../race/race.ts';

/** The share of runners who are due under a rule. Bibs are taken to end in every digit equally often. */
export function dueShare(rule: SamplingRule): number {
  switch (rule.kind) {
    case 'everyone':
      return 1;
    case 'every':
      return 1 / rule.k;
    case 'windows':
      return rule.onMinutes / rule.everyMinutes;
    case 'endings':
      return rule.endings.reduce((sum, ending) => sum + 10 ** -ending.length, 0);
  }
}

/** A rule as the figures print it: of endings only the share counts, which digits is free. */
export type PlannedRule =
  Exclude<SamplingRule, { readonly kind: 'endings' }> | { readonly kind: 'endings'; readonly share: number };

export function plannedRule(rule: SamplingRule): PlannedRule {
  return rule.kind === 'endings' ? { kind: 'endings', share: dueShare(rule) } : { ...rule };
}
