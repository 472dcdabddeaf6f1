import { describe, expect, it } from 'vitest';
import { slipProbability, USUAL_ERRORS, type Slip } from './error-table.ts';
import { learnErrors } from './learn-errors.ts';

const took = (shown: string, read: string): Slip => ({ kind: 'character', chance: 0.25, shown, read });
const DIGITS = [...'0123456789'];

describe('learnErrors', () => {
  it('keeps the usual table where the race shows nothing', () => {
    expect(learnErrors([], [])).toBe(USUAL_ERRORS);
  });

  it('takes what was put right as seen: forty 2s read as 7s outweigh the table', () => {
    const table = learnErrors(
      [],
      Array.from({ length: 40 }, () => [took('2', '7')]),
    );
    expect(table.taken('2', '7')).toBeGreaterThan(0.9);
    expect(table.taken('3', '8')).toBe(USUAL_ERRORS.taken('3', '8'));
  });

  it('tells who was meant from those it is sure of', () => {
    const certain = Array.from({ length: 20 }, () => ({ ways: [{ slips: [took('2', '7')], weight: 1 }], rest: 0 }));
    const open = { ways: [took('2', '7'), took('1', '7')].map((slip) => ({ slips: [slip], weight: 1 })), rest: 0 };
    expect(slipProbability(USUAL_ERRORS, took('1', '7'))).toBeGreaterThan(
      slipProbability(USUAL_ERRORS, took('2', '7')),
    );
    const table = learnErrors([...certain, open], []);
    expect(slipProbability(table, took('2', '7'))).toBeGreaterThan(slipProbability(table, took('1', '7')));
  });

  it('shares each character’s misreadings, and the kinds of slip, out as the usual table does', () => {
    const table = learnErrors([{ ways: [{ slips: [took('2', '7'), took('9', '1')], weight: 1 }], rest: 0.2 }], [[]]);
    for (const shown of DIGITS) {
      const sum = DIGITS.filter((d) => d !== shown).reduce((all, read) => all + table.taken(shown, read), 0);
      expect(sum).toBeCloseTo(1, 12);
    }
    const single = ({ shares }: typeof table) => shares.character + shares.swapped + shares.dropped + shares.added;
    expect(single(table)).toBeCloseTo(single(USUAL_ERRORS), 12);
  });
});
