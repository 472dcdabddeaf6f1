import { ordinal } from '../words/ordinal.ts';
import type { SamplingRule } from '../race/race.ts';
import type { PlannedRule } from './sampling-share.ts';

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
/** A small number as a word. */
const numberWord = (n: number): string => NUMBERS[n] ?? String(n);

/** A rule in a few words, for a row of a table. */
export function ruleName(rule: PlannedRule): string {
  switch (rule.kind) {
    case 'everyone':
      return 'everyone';
    case 'every':
      return `every ${ordinal(rule.k)}`;
    case 'windows':
      return `${String(rule.onMinutes)} minutes of ${String(rule.everyMinutes)}`;
    case 'endings':
      return `bib endings, ${shareOfEndings(rule.share)}`;
  }
}

/** 0.3 is `three in ten`, 0.05 `five in a hundred`; others are written out: `23.1 in a hundred`. */
function shareOfEndings(share: number): string {
  const tenths = share * 10;
  if (Math.abs(tenths - Math.round(tenths)) < 1e-9) return `${numberWord(Math.round(tenths))} in ten`;
  const hundredths = share * 100;
  if (Math.abs(hundredths - Math.round(hundredths)) < 1e-9) return `${numberWord(Math.round(hundredths))} in a hundred`;
  return `${String(Number((share * 100).toFixed(2)))} in a hundred`;
}

/** What the rule does to the figures: why it, or why not. */
export function ruleReason(rule: PlannedRule): string {
  switch (rule.kind) {
    case 'everyone':
      return 'Everyone: whoever can be classed is. Who is missed then depends on the crowd.';
    case 'every':
      return `Every ${ordinal(rule.k)} thins evenly: the chance is the same in a crowd and at the end of the field. But the counts at two checkpoints agree on only one runner in ${String(rule.k ** 2)}.`;
    case 'windows':
      return 'Time windows do not lighten the work, as the whole field passes within one, and they cost pairs twice: once at each checkpoint.';
    case 'endings':
      return `Bib endings keep the same runners at every checkpoint: pairs fall with the share of runners who are due, not with its square.`;
  }
}

/** Which endings make a share, spread over the digits so that neighbours in a squad are not all in or all out. */
export function endingsFor(share: number): string[] {
  const digits = Math.round(share * 10);
  if (digits >= 1 && Math.abs(digits - share * 10) < 1e-9) return spread(digits, 10).map(String);
  return spread(Math.max(1, Math.round(share * 100)), 100).map((ending) => String(ending).padStart(2, '0'));
}

const spread = (count: number, of: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.floor(((i + 0.5) * of) / count));

/** The rule that a planned one stands for, with endings to fix in Set-up. */
export function ruleToFix(rule: PlannedRule): SamplingRule {
  return rule.kind === 'endings' ? { kind: 'endings', endings: endingsFor(rule.share) } : rule;
}
