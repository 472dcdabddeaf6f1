import { expect, test } from 'vitest';
import { readPlan } from '../../plan/read-plan.ts';
import { faultWords } from './fault-words.ts';

const SMALLEST = {
  ...{ starters: 1200, km: 42.195 },
  checkpoints: [
    { name: 'Old Pier', km: 10 },
    { name: 'Quarry Hill', km: 32 },
  ],
};

test.each([
  [
    'a km beyond the course',
    { checkpoints: [{ name: 'Weir', km: 50 }] },
    'Weir, km: 50 lies beyond the course of 42.195 km',
  ],
  ['more starters than can be', { starters: 200_001 }, 'Starters: expected at most 200000'],
  [
    'more changes than there are',
    { shift: { changed: 0.9 } },
    'Runners who change: 0.756 of the runners would change to rearfoot, where 0.21 of them have another',
  ],
  [
    'endings that overlap',
    { rule: { kind: 'endings', endings: ['7', '07'] } },
    'Sampling rule: bibs that end in 07 end in 7 too; leave one of them out',
  ],
  [
    'a wave that starts before the gun',
    { field: { waves: [{ share: 1, at: -5, line: 60 }] } },
    'Wave 1: expected at least 0',
  ],
  [
    'a class share below 0',
    { classes: { early: [-1, 1, 1, 1], late: [1, 1, 1, 1] } },
    'Class shares early: expected at least 0',
  ],
])('%s is said by the name on the screen', (_, change, words) => {
  const plan = { ...SMALLEST, ...change };
  const read = readPlan(plan);
  const names = plan.checkpoints.map(({ name }) => name);
  expect(read.ok ? [] : read.error.faults.map((fault) => faultWords(fault, names))).toEqual([words]);
});

test('what has no path is left as it is', () => {
  expect(faultWords('How many start?', [])).toBe('How many start?');
});
