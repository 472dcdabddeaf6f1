import { describe, expect, it } from 'vitest';
import { firstPlan, planOfRace } from '../../plan/plan-draft.ts';
import { takenWords, withPractisedEye } from './from-practice.ts';

describe('withPractisedEye', () => {
  it('puts seconds at every place and the accuracy into the plan, and leaves the rest as it was said', () => {
    const race = {
      ...{ id: 'r', name: 'Mill Ten', date: '2031-05-03', km: 16 },
      checkpoints: [
        { id: 'a', name: 'Weir', km: 4 },
        { id: 'b', name: 'Ford', km: 12 },
      ],
    };
    const before = {
      ...firstPlan(race),
      answers: { validation: { halfWidth: 0.03 } },
      places: { a: { observers: 2 } },
    };
    const eye = {
      seconds: { from: 'rehearsal', observer: 'K1', each: 3.4 },
      accuracy: { observer: 'K2', sensitivity: 0.97, specificity: 0.91 },
    } as const;
    const kept = withPractisedEye(before, eye, ['a', 'b']);
    const plan = planOfRace(race, 300, kept);
    expect(plan.validation).toEqual({ halfWidth: 0.03, sensitivity: 0.97, specificity: 0.91 });
    expect(plan.checkpoints?.map(({ secondsEach }) => secondsEach)).toEqual([3.4, 3.4]);
    expect(plan.checkpoints?.[0]?.observers).toBe(2);
    expect(takenWords(eye)).toBe('Taken from the rehearsal of K1: 3.4 s a runner; accuracy from the test of K2.');
    const timed = withPractisedEye(before, { ...eye, accuracy: null }, ['a', 'b']);
    expect(timed.answers).toEqual(before.answers);
  });
});
