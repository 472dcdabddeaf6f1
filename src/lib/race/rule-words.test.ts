import { expect, test } from 'vitest';
import { endingExamples, ruleForObservers, whoIsDue } from './rule-words.ts';
import { isDueByEnding } from './sampling.ts';

test('the rule in one sentence with three examples', () => {
  expect(ruleForObservers({ kind: 'endings', endings: ['3', '07'] })).toBe(
    'Class the runners whose bib ends in 3 or 07, such as 113, 2407 and 373; let the others pass.',
  );
  expect(ruleForObservers({ kind: 'every', k: 3 })).toBe(
    'Class every 3rd runner who passes, whoever it is, such as the 3rd, 6th and 9th; the screen counts along.',
  );
  expect(ruleForObservers({ kind: 'windows', onMinutes: 5, everyMinutes: 20 })).toBe(
    'Class everyone in the first 5 minutes of every 20, by the clock: from 9:00, 9:20 and 9:40 on; rest the eyes in between.',
  );
  expect(whoIsDue({ kind: 'every', k: 22 })).toBe('every 22nd runner');
});

test('every example is due by one of the endings', () => {
  for (const endings of [['3'], ['3', '07'], ['0', '5'], ['123456', '7'], ['1', '2', '3', '4', '50']]) {
    const examples = endingExamples(endings);
    expect(new Set(examples).size).toBe(3);
    for (const bib of examples) expect(isDueByEnding(endings, bib)).toBe(true);
  }
  expect(isDueByEnding(['3'], null)).toBe(false);
  expect(isDueByEnding(['07'], '7')).toBe(false);
});
