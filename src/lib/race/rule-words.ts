import { ordinal } from '../words/ordinal.ts';
import type { SamplingRule } from './race.ts';

/** Whom a sampling rule asks to class: the same words in Set-up, briefing, Tally, hand-off and report. */
export function whoIsDue(rule: SamplingRule): string {
  switch (rule.kind) {
    case 'everyone':
      return 'everyone';
    case 'every':
      return `every ${ordinal(rule.k)} runner`;
    case 'windows':
      return `everyone in the first ${minutes(rule.onMinutes)} of every ${String(rule.everyMinutes)}`;
    case 'endings':
      return `the runners whose bib ends in ${either(rule.endings)}`;
  }
}

/** The rule in one sentence for an observer, with three examples. */
export function ruleForObservers(rule: SamplingRule): string {
  const class_ = `Class ${whoIsDue(rule)}`;
  switch (rule.kind) {
    case 'everyone':
      return `${class_} you can: one after the other, a pack, the last ones.`;
    case 'every':
      return `${class_} who passes, whoever it is, such as the ${listedAnd([1, 2, 3].map((n) => ordinal(n * rule.k)))}; the screen counts along.`;
    case 'windows':
      return `${class_}, by the clock: from ${listedAnd([0, 1, 2].map((n) => clockOf(n * rule.everyMinutes)))} on; rest the eyes in between.`;
    case 'endings':
      return `${class_}, such as ${listedAnd(endingExamples(rule.endings))}; let the others pass.`;
  }
}

/** Three bibs that are due, one for each ending in turn: 113, 207 and 323. */
export function endingExamples(endings: readonly string[]): string[] {
  return [1, 2, 3].map((lead, i) => {
    const ending = endings[i % endings.length]!;
    return `${String(lead)}${String((i * 3 + 1) % 10)}${ending}`;
  });
}

/** `3, 07 or 50`. */
export function either(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)!}`;
}

const listedAnd = (words: readonly string[]): string => `${words.slice(0, -1).join(', ')} and ${words.at(-1)!}`;
const minutes = (n: number): string => (n === 1 ? 'minute' : `${String(n)} minutes`);

/** A minute of a morning that begins at 9:00, to show where windows begin; the count begins anew at each full hour. */
function clockOf(minute: number): string {
  return `${String(9 + Math.floor(minute / 60))}:${String(minute % 60).padStart(2, '0')}`;
}
