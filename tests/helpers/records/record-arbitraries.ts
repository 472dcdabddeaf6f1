import fc from 'fast-check';
import { FOOT_VALUES, RUNNER_CLASSES } from '../../../src/lib/records/foot.ts';
import type {
  Acceptance,
  Correction,
  Draw,
  PlanRecord,
  Ruling,
  Sighting,
  TallyRecord,
  Withdrawal,
} from '../../../src/lib/records/record.ts';

/** An invented race and the few checkpoints and bibs that make records meet each other. */
export const RACE_ID = '3f0f9a52-6c1e-4b0a-9d53-0c6a5f3b2a11';
export const CHECKPOINTS = ['k5', 'k15'] as const;
const BIBS = [null, '7', '007', 'A-12', '-12'] as const;
const DEVICES = ['tablet-1', 'tablet-2', 'tablet-3'] as const;

/** The nth id of a small invented set; greater n, greater id. */
export function recordId(n: number): string {
  return `01920000-0000-7000-8000-${n.toString(16).padStart(12, '0')}`;
}

/** Few instants, so that ties occur. */
const instant = fc.integer({ min: 0, max: 5 }).map((n) => `2026-10-04T07:30:0${n}.000Z`);
const feet = fc.oneof(
  fc.record({
    gait: fc.constantFrom('run' as const, undefined),
    left: fc.constantFrom(...FOOT_VALUES),
    right: fc.constantFrom(...FOOT_VALUES),
  }),
  fc.constant({ gait: 'walk' as const, left: 'unseen' as const, right: 'unseen' as const }),
);
const LET_PASS = { left: 'unseen', right: 'unseen' } as const;
const note = fc.option(fc.string({ maxLength: 12, unit: 'binary' }), { nil: undefined });

/** Drops fields that are undefined: a field that is not there and one that is undefined are written alike. */
function present<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as T;
}

function common(n: number) {
  return {
    id: fc.constant(recordId(n)),
    race: fc.constant(RACE_ID),
    observer: fc.constantFrom('A', 'B', 'C'),
    device: fc.constantFrom(...DEVICES),
    seq: fc.constant(n + 1),
    madeAt: instant,
    note,
  };
}

const sighting = (n: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('sighting' as const),
      checkpoint: fc.constantFrom(...CHECKPOINTS),
      bib: fc.constantFrom(...BIBS),
      feet,
      method: fc.constantFrom('live' as const, 'clip' as const),
      observedAt: instant,
      passed: fc.option(fc.boolean(), { nil: undefined, freq: 4 }),
      timeEstimated: fc.option(fc.boolean(), { nil: undefined, freq: 4 }),
    })
    .map(({ feet: seen, ...rest }) => present({ ...rest, ...(rest.passed ? LET_PASS : seen) }) as Sighting);

const correction = (n: number, count: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('correction' as const),
      target: fc.integer({ min: 0, max: count }).map(recordId),
      checkpoint: fc.option(fc.constantFrom(...CHECKPOINTS), { nil: undefined }),
      bib: fc.option(fc.constantFrom(...BIBS), { nil: undefined }),
      feet: fc.option(feet, { nil: undefined }),
    })
    .map(({ feet: seen, ...rest }) => present({ ...rest, ...seen }) as Correction);

const withdrawal = (n: number, count: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('withdrawal' as const),
      target: fc.integer({ min: 0, max: count }).map(recordId),
    })
    .map((record) => present(record) as Withdrawal);

const ruling = (n: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('ruling' as const),
      checkpoint: fc.constantFrom(...CHECKPOINTS),
      bib: fc.constantFrom('7', '007'),
      feet,
    })
    .map(({ feet: seen, ...rest }) => present({ ...rest, ...seen }) as Ruling);

const acceptance = (n: number, count: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('acceptance' as const),
      doubt: fc.constantFrom('0123456789abcdef', 'fedcba9876543210'),
      settles: fc.constantFrom('disputed', 'double'),
      targets: fc.uniqueArray(fc.integer({ min: 0, max: count }).map(recordId), { maxLength: 3 }),
    })
    .map((record) => present(record) as Acceptance);

const plan = (n: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('plan' as const),
      answers: fc.constantFrom('{}', '{"starters":1200}'),
      expected: fc.constantFrom(...CHECKPOINTS).map((checkpoint) => [{ checkpoint, classified: n + 0.5 }]),
      compared: fc.constantFrom({}, { early: 'k5', late: 'k15', pairs: 280.4 }),
    })
    .map(({ compared, ...rest }) => present({ ...rest, ...compared }) as PlanRecord);
const draw = (n: number): fc.Arbitrary<TallyRecord> =>
  fc
    .record({
      ...common(n),
      kind: fc.constant('draw' as const),
      checkpoint: fc.constantFrom(...CHECKPOINTS),
      seed: fc.integer({ min: 0, max: 0xffffffff }),
      drawn: fc.uniqueArray(fc.tuple(fc.constantFrom('7', '007', 'A-12'), fc.constantFrom(...RUNNER_CLASSES)), {
        minLength: 1,
        selector: ([bib]) => bib,
      }),
    })
    .map(({ drawn, ...rest }) => {
      const runners = { bibs: drawn.map(([bib]) => bib), live: drawn.map(([, live]) => live) };
      return present({ ...rest, ...runners }) as Draw;
    });

/**
 * A set of valid records with distinct ids that target each other freely: missing targets, corrections of corrections,
 * withdrawals of withdrawals and rings of them included.
 */
export const recordSet: fc.Arbitrary<TallyRecord[]> = fc
  .integer({ min: 0, max: 14 })
  .chain((count) =>
    fc.tuple(
      ...Array.from({ length: count }, (_, n) =>
        fc.oneof(
          { weight: 3, arbitrary: sighting(n) },
          { weight: 3, arbitrary: correction(n, count) },
          { weight: 3, arbitrary: withdrawal(n, count) },
          { weight: 1, arbitrary: ruling(n) },
          { weight: 1, arbitrary: acceptance(n, count) },
          { weight: 1, arbitrary: plan(n) },
          { weight: 1, arbitrary: draw(n) },
        ),
      ),
    ),
  )
  .map((records) => [...records]);

/** The same records in another order, some of them several times. */
export function rearranged(records: readonly TallyRecord[]): fc.Arbitrary<TallyRecord[]> {
  return fc
    .array(fc.integer({ min: 0, max: Math.max(0, records.length - 1) }), { maxLength: 10 })
    .map((again) => (records.length === 0 ? [] : [...records, ...again.map((i) => records[i] as TallyRecord)]))
    .chain((all) => fc.shuffledSubarray(all, { minLength: all.length, maxLength: all.length }));
}
