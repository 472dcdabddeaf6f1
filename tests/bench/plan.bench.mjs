import { loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import { layCourse } from '../../src/lib/plan/lay-course.ts';
import { outlookOf } from '../../src/lib/plan/outlook.ts';
import { RememberedFields } from '../../src/lib/plan/remembered-fields.ts';
import { figuresOfCourse } from '../../src/lib/plan/plan-figures.ts';

const planOf = (starters, observers, km = 32) => ({
  starters,
  km: 42.195,
  field: { clock: 'net' },
  checkpoints: [
    { name: 'Old Pier', km: 10, observers },
    { name: 'Quarry Hill', km, observers },
  ],
});

function time(plan, fields) {
  const used = process.cpuUsage();
  const at = performance.now();
  const laid = layCourse(plan, null, fields.passingField);
  const placed = performance.now();
  const figures = figuresOfCourse(laid.value);
  const figured = performance.now();
  outlookOf(laid.value, figures.candidates);
  const done = performance.now();
  const { user, system } = process.cpuUsage(used);
  return {
    field: placed - at,
    figures: figured - placed,
    outlook: done - figured,
    all: done - at,
    /** Processor time of the whole process: what another load on the machine does not stretch as much. */
    processor: (user + system) / 1000,
    pairs: figures.shift.pairs,
  };
}

const rounded = (/** @type {Record<string, number>} */ entry) =>
  Object.fromEntries(Object.entries(entry).map(([name, ms]) => [name, Math.round(ms * 10) / 10]));

function measured(/** @type {ReturnType<typeof planOf>[]} */ plans) {
  const fields = new RememberedFields();
  const [first, ...warm] = plans.map((plan) => time(plan, fields));
  const byTime = warm.sort((a, b) => a.all - b.all);
  const byWork = warm.map(({ processor }) => processor).sort((a, b) => a - b);
  return {
    firstMs: rounded(first),
    medianMs: rounded(byTime[4]),
    worstMs: rounded(byTime.at(-1)),
    processorMs: rounded({ least: byWork[0], median: byWork[4], most: byWork.at(-1) }),
  };
}

const nine = (/** @type {(i: number) => ReturnType<typeof planOf>} */ planAt) =>
  Array.from({ length: 9 }, (_, i) => planAt(i));
/** Every other plan has an observer more at both places. */
const movingObservers = (starters, observers) => measured(nine((i) => planOf(starters, observers + (i % 2))));
/** Each plan has its second checkpoint at a place where none was. */
const movingCheckpoint = (starters, observers) => measured(nine((i) => planOf(starters, observers, 30 + i / 4)));

/** From a change in a plan to its figures and its outlook; target: 100 ms for 40,000 starters. */
export default async function plan() {
  return {
    target: { starters40000: 100 },
    starters1200: movingObservers(1200, 1),
    starters40000: movingObservers(40_000, 1),
    starters40000with4: movingObservers(40_000, 4),
    starters40000moved: movingCheckpoint(40_000, 1),
    starters40000with4moved: movingCheckpoint(40_000, 4),
    starters200000with6: movingObservers(200_000, 6),
    load: loadavg()[0],
  };
}
