import { expect, test } from 'vitest';
import type { Race } from '../race/race.ts';
import { firstPlan, planOfRace } from './plan-draft.ts';
import { planFigures } from './plan-figures.ts';
import { readPlan } from './read-plan.ts';
import { endingsFor, ruleToFix } from './rule-words.ts';

const race: Race = {
  id: '0b9a3f1e-55d1-4f0e-9a55-1f0c7f6f7a11',
  name: 'Quarry Marathon (invented)',
  date: '2026-10-04',
  km: 42.195,
  checkpoints: [
    { id: 'pier', name: 'Old Pier', km: 10 },
    { id: 'hill', name: 'Quarry Hill', km: 32 },
  ],
};

test('a race as set up is a plan; what is said for the plan takes the place of the set-up', () => {
  const plan = readPlan(planOfRace(race, 1200, firstPlan(race)));
  expect(plan.ok).toBe(true);
  // Expected pairs of the reference case `defaults`, in R.
  if (plan.ok) {
    const figures = planFigures(plan.value, null);
    expect(figures.ok && figures.value.expected.pairs).toBeCloseTo(280.4115525718839, 9);
  }
  const posted = { ...race, observers: ['A1', 'A2'].map((code) => ({ code, checkpoint: 'pier' })) };
  const given = planOfRace(posted, 1200, { ...firstPlan(race), places: { hill: { km: 30, observers: 3 } } });
  expect(given.checkpoints).toEqual([
    { name: 'Old Pier', km: 10, observers: 2 },
    { name: 'Quarry Hill', km: 30, observers: 3 },
  ]);
});

test('the race’s own rule is planned with where it leaves runners out', () => {
  const ruled: Race = { ...race, samplingRule: { kind: 'every', k: 3 } };
  expect(firstPlan(ruled).rule).toBe('race');
  expect(planOfRace(ruled, 1200, firstPlan(ruled)).rule).toEqual({ kind: 'every', k: 3 });
  expect(firstPlan({ ...race, samplingRule: { kind: 'everyone' } }).rule).toBe('recommended');
});

test('endings of a share are spread over the digits and make up that share', () => {
  for (let tenths = 1; tenths <= 9; tenths += 1) {
    const endings = endingsFor(tenths / 10);
    expect(new Set(endings).size).toBe(tenths);
    expect(endings.every((ending) => /^\d$/.test(ending))).toBe(true);
  }
  expect(endingsFor(0.3)).toEqual(['1', '5', '8']);
  expect(endingsFor(0.02)).toEqual(['25', '75']);
  expect(ruleToFix({ kind: 'endings', share: 0.3 })).toEqual({ kind: 'endings', endings: ['1', '5', '8'] });
});
