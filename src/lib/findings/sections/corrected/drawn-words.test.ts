import { expect, it } from 'vitest';
import { plain } from '../../sentences/sentences-parts.ts';
import { drawnSentences } from './drawn-words.ts';
import type { ValidationState } from './validation-draw.ts';

const state = (reviewed: readonly boolean[], beyond: readonly string[], again = false): ValidationState => {
  const runners = reviewed.map((done, i) => ({ bib: String(i), live: 'rearfoot' as const, reviewed: done }));
  const draw = { seed: 1, drawnAt: '2031-05-04T10:00:00.000Z', runners };
  return {
    ...{ checkpoint: 'Weir', read: [9, 0, 0, 0], sizes: [9, 0, 0, 0], beyond },
    draws: runners.length === 0 ? [] : again ? [draw, draw] : [draw],
  };
};
const said = (one: ValidationState) => drawnSentences([one]).map(plain);

it('calls a set random only when every reviewed runner was drawn', () => {
  expect(said(state([true, true, false], []))).toEqual(['At Weir the 2 reviewed runners were drawn at random.']);
  expect(said(state([true, true], [], true))).toEqual(['At Weir the 2 reviewed runners were drawn at random.']);
  const [mixed] = said(state([true, true], ['77', '78', '79']));
  expect(mixed).toContain('2 of 5 reviewed runners were drawn at random; the other 3 were chosen by hand');
  expect(mixed).toContain('no random part');
  expect(said(state([], ['77', '78']))[0]).toContain(
    'none of 2 reviewed runners was drawn at random; they were chosen',
  );
  expect(said(state([false], []))).toEqual([]);
});
