import { performance } from 'node:perf_hooks';
import { layCourse } from '../../src/lib/plan/lay-course.ts';
import { outlookOf } from '../../src/lib/plan/outlook.ts';
import { RememberedFields } from '../../src/lib/plan/remembered-fields.ts';
import { figuresOfCourse } from '../../src/lib/plan/plan-figures.ts';

const planOf = (starters, observers) => ({
  starters,
  km: 42.195,
  field: { clock: 'net' },
  checkpoints: [
    { name: 'Old Pier', km: 10, observers },
    { name: 'Quarry Hill', km: 32, observers },
  ],
});

function time(plan, fields) {
  const at = performance.now();
  const laid = layCourse(plan, null, fields.passingField);
  const placed = performance.now();
  const figures = figuresOfCourse(laid.value);
  const figured = performance.now();
  outlookOf(laid.value, figures.candidates);
  const done = performance.now();
  return {
    field: placed - at,
    figures: figured - placed,
    outlook: done - figured,
    all: done - at,
    pairs: figures.shift.pairs,
  };
}

const rounded = (/** @type {Record<string, number>} */ entry) =>
  Object.fromEntries(Object.entries(entry).map(([name, ms]) => [name, Math.round(ms * 10) / 10]));

function measured(/** @type {number} */ starters, /** @type {number} */ observers) {
  const fields = new RememberedFields();
  // Moving an observer: every other run has one more.
  const [first, ...warm] = Array.from({ length: 9 }, (_, i) => time(planOf(starters, observers + (i % 2)), fields));
  const byTime = warm.sort((a, b) => a.all - b.all);
  return { firstMs: rounded(first), medianMs: rounded(byTime[4]), worstMs: rounded(byTime.at(-1)) };
}

/** From a change in a plan to its figures and its outlook; target: 100 ms for 40,000 starters. */
export default async function plan() {
  return {
    target: { starters40000: 100 },
    starters1200: measured(1200, 1),
    starters40000: measured(40_000, 1),
    starters40000with4: measured(40_000, 4),
    starters200000with6: measured(200_000, 6),
  };
}
