import { expect, test } from 'vitest';
import type { Race } from '../race/race.ts';
import { draftOfKept, expectedOf, planContent } from './kept-plan.ts';
import { firstPlan, planOfRace, type PlanDraft } from './plan-draft.ts';
import { planFigures } from './plan-figures.ts';
import { readPlan } from './read-plan.ts';

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

function contentOf(draft: PlanDraft, of: Race = race) {
  const plan = readPlan(planOfRace(of, 1200, draft));
  const figures = plan.ok ? planFigures(plan.value, draft.lastYear?.finishes ?? null) : plan;
  if (!figures.ok) throw new Error('the plan has faults');
  return planContent(of, draft, figures.value);
}

test('a kept plan has what was said and what it expects, to be taken up again on another device', () => {
  const draft: PlanDraft = { ...firstPlan(race), places: { pier: { observers: 2 } } };
  const content = contentOf(draft);
  expect(draftOfKept(content)).toEqual({ draft, lastYear: null });
  const plain = contentOf(firstPlan(race));
  // Expected pairs of the reference case `defaults`, in R: 280.4115525718839.
  expect(plain).toMatchObject({ early: 'pier', late: 'hill', pairs: 280.412 });
});

test('last year’s times stay on the device that read them; their file’s name and number travel', () => {
  const finishes = Array.from({ length: 90 }, (_, i) => 9000 + 100 * i);
  const kept = draftOfKept(contentOf({ ...firstPlan(race), lastYear: { name: 'results-2025.csv', finishes } }));
  expect(kept?.lastYear).toEqual({ name: 'results-2025.csv', finishers: 90 });
  expect(kept?.draft.lastYear).toBeNull();
});

test('what is expected goes by the names that the checkpoints have now', () => {
  const content = contentOf(firstPlan(race));
  const renamed = { ...race, checkpoints: race.checkpoints.map((one) => ({ ...one, name: `New ${one.name}` })) };
  expect(expectedOf(renamed, content)).toMatchObject({ early: 'New Old Pier', late: 'New Quarry Hill' });
  expect(expectedOf(renamed, content).places.map(({ checkpoint }) => checkpoint)).toEqual([
    'New Old Pier',
    'New Quarry Hill',
  ]);
  expect(expectedOf({ ...race, checkpoints: [] }, content).early).toBe('pier');
});

test('with one checkpoint nothing is compared, and what cannot be read is no plan', () => {
  const one = { ...race, checkpoints: race.checkpoints.slice(0, 1) };
  const content = contentOf(firstPlan(one), one);
  expect(content).not.toHaveProperty('pairs');
  expect(expectedOf(one, content)).toMatchObject({ early: null, late: null, pairs: null });
  expect(draftOfKept({ answers: '{"answers":{},' })).toBeNull();
  expect(draftOfKept({ answers: '{}' })).toBeNull();
});
