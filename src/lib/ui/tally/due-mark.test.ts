import { expect, test } from 'vitest';
import type { SamplingRule } from '../../race/race.ts';
import { samplingAdvice } from '../../race/sampling.ts';
import { dueMark } from './due-mark.ts';

const rule: SamplingRule = { kind: 'endings', endings: ['3', '07'] };
const mark = (bib: string | null | undefined) => dueMark(samplingAdvice(rule, 0, 0, undefined, bib));

test('a due bib is told from one that is not, and nobody from either', () => {
  expect(mark('113')).toBe('due');
  expect(mark('1207')).toBe('due');
  expect(mark('117')).toBe('not due');
  expect(mark(null)).toBe('not due');
  expect(mark(undefined)).toBeUndefined();
});

test('other rules mark by count, or not at all', () => {
  const every = { kind: 'every', k: 3 } as const;
  expect(dueMark(samplingAdvice(every, 2, 0, undefined))).toBe('due');
  expect(dueMark(samplingAdvice(every, 0, 0, undefined))).toBeUndefined();
  expect(dueMark(samplingAdvice({ kind: 'everyone' }, 0, 0, undefined))).toBeUndefined();
});
