import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { GivenPlan } from '../../src/lib/plan/plan-schema.ts';
import { planFigures } from '../../src/lib/plan/plan-figures.ts';
import { readPlan } from '../../src/lib/plan/read-plan.ts';
import { numbersIn } from '../helpers/findings/figure-differences.ts';

const share = fc.oneof(
  fc.constantFrom(0, 1),
  fc.integer({ min: 0, max: 1000 }).map((n) => n / 1000),
  fc.double({ min: 0, max: 1, noNaN: true }),
);
const optional = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });

const rule = fc.oneof(
  fc.constant({ kind: 'everyone' as const }),
  fc.record({ kind: fc.constant('every' as const), k: fc.integer({ min: 2, max: 1000 }) }),
  fc.constant({ kind: 'windows' as const, onMinutes: 5, everyMinutes: 15 }),
  fc
    .constantFrom<string[]>(['3', '07'], ['000123'], ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'])
    .map((endings) => ({
      kind: 'endings' as const,
      endings,
    })),
);

/** Plans of every kind, the odd ones included; what readPlan refuses is left out. */
const plans = fc
  .record({
    starters: fc.oneof(fc.integer({ min: 1, max: 30 }), fc.integer({ min: 1, max: 4000 })),
    km: fc.constantFrom(1, 5, 21.0975, 42.195),
    places: fc.array(
      fc.record({
        at: share,
        observers: fc.integer({ min: 0, max: 5 }),
        secondsEach: fc.constantFrom(0, 0.5, 3, 20),
        bibRead: share,
        walking: share,
      }),
      { minLength: 1, maxLength: 3 },
    ),
    finishShare: share,
    pack: fc.constantFrom(1, 1.3, 4),
    arrangement: fc.constantFrom('turns' as const, 'split' as const),
    rule: optional(rule),
    changed: share,
    rearfootEarly: share,
    toRearfoot: share,
    sensitivity: share,
    specificity: share,
    quarters: optional(fc.tuple(share, share, share, share)),
    finishes: optional(fc.array(fc.integer({ min: 200, max: 20_000 }), { minLength: 1, maxLength: 40 })),
  })
  .map(
    ({ places, km, finishShare, changed, rearfootEarly, toRearfoot, sensitivity, specificity, quarters, ...rest }) => ({
      plan: {
        ...{ starters: rest.starters, km, pack: rest.pack, arrangement: rest.arrangement },
        checkpoints: places.map(({ at, ...place }, i) => ({ name: `C${String(i)}`, km: at * km, ...place })),
        field: { finishShare, waves: [{ share: 1, at: 0, line: 20 }] },
        ...(rest.rule ? { rule: rest.rule } : {}),
        shift: { changed, rearfootEarly, toRearfoot },
        validation: { sensitivity, specificity },
        ...(quarters ? { quarterRearfoot: quarters } : {}),
      },
      finishes: rest.finishes?.sort((a, b) => a - b) ?? null,
    }),
  )
  .filter(({ plan }) => readPlan(plan).ok);

function figuresOf({ plan, finishes }: { plan: GivenPlan; finishes: number[] | null }) {
  const figures = planFigures(plan, finishes);
  if (!figures.ok) throw new Error('a field that cannot have run so');
  return figures.value;
}

describe('the figures of any plan', () => {
  it('are numbers, shares between 0 and 1, and the same each time', () => {
    fc.assert(
      fc.property(plans, (given) => {
        const figures = figuresOf(given);
        expect(numbersIn(figures).filter(({ value }) => !Number.isFinite(value))).toEqual([]);
        for (const { rule: seen, everyone } of figures.capacity) {
          for (const value of [seen.share, seen.atPeak, everyone.share, ...seen.quarterShare]) {
            if (value !== null) expect(value >= 0 && value <= 1 + 1e-12).toBe(true);
          }
        }
        const power = figures.shift?.power;
        for (const value of [power?.exact, power?.midP]) if (value) expect(value > 0 && value <= 1).toBe(true);
        expect(figuresOf(given)).toEqual(figures);
      }),
      { numRuns: 120 },
    );
  });

  it('never fall when an observer is added', () => {
    fc.assert(
      fc.property(plans, (given) => {
        const more = given.plan.checkpoints.map((place) => ({ ...place, observers: place.observers + 1 }));
        const before = figuresOf(given).candidates[0]!;
        const after = figuresOf({ ...given, plan: { ...given.plan, checkpoints: more } }).candidates[0]!;
        for (const [i, classified] of before.classified.entries()) {
          expect(after.classified[i]!).toBeGreaterThanOrEqual(classified - 1e-9);
        }
        expect(after.pairs ?? 0).toBeGreaterThanOrEqual((before.pairs ?? 0) - 1e-9);
      }),
      { numRuns: 60 },
    );
  });

  it('count every runner once: minutes and quarters add up to those who pass', () => {
    fc.assert(
      fc.property(plans, (given) => {
        for (const { passing, perMinute, quarters, peak } of figuresOf(given).flow) {
          expect(perMinute.reduce((sum, n) => sum + n, 0)).toBe(passing);
          expect(quarters.reduce((sum, n) => sum + n, 0)).toBe(passing);
          expect(peak.count).toBe(Math.max(0, ...perMinute));
        }
      }),
      { numRuns: 60 },
    );
  });
});
