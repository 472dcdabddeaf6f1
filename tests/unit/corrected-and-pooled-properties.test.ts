import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/lib/findings/analyse.ts';
import { poolRaces } from '../../src/lib/findings/pool/pool-races.ts';
import type { RaceCounts } from '../../src/lib/findings/pool/race-counts.ts';
import type { RunnerAnswer } from '../../src/lib/practice/runner-answer.ts';
import { FOOT_CLASSES, FOOT_VALUES, RUNNER_CLASSES, type FootClass } from '../../src/lib/records/foot.ts';
import { SightingTableBuilder, type SightingEntry } from '../../src/lib/sightings/sighting-table.ts';
import { figureDifferences, numbersIn } from '../helpers/findings/figure-differences.ts';

const foot = fc.constantFrom('rearfoot' as const, ...FOOT_VALUES);
const sightings = fc
  .array(
    fc.record({
      place: fc.nat(1),
      bib: fc.nat(24),
      left: foot,
      right: foot,
      observer: fc.constantFrom('A', 'B', 'C'),
      method: fc.constantFrom('live' as const, 'live' as const, 'clip' as const),
    }),
    { minLength: 1, maxLength: 120 },
  )
  .map((rows) =>
    rows.map(({ place, bib, ...row }, i): SightingEntry => ({
      ...row,
      ...{ recordId: `r${i}`, checkpoint: place === 0 ? 'Ford' : 'Mill', km: 5 + 10 * place, bib: String(bib) },
      ...{ gait: 'run', observedAtMs: i },
    })),
  );

const KEYS: readonly (readonly [FootClass, FootClass])[] = [
  ...FOOT_CLASSES.map((name) => [name, name] as const),
  ['rearfoot', 'midfoot'],
];

/** Six items of each class, answered by every observer; the answers of `slips` are wrong. */
function practiceOf(observers: readonly string[], slips: ReadonlySet<number>): RunnerAnswer[] {
  return KEYS.flatMap(([keyLeft, keyRight], kind) =>
    Array.from({ length: 6 }, (_, i) =>
      observers.map((observer, o): RunnerAnswer => {
        const number = (kind * 6 + i) * 3 + o;
        const [left, right] = slips.has(number) ? KEYS[(kind + 1) % 4]! : [keyLeft, keyRight];
        return { item: `${kind}-${i}`, observer, keyLeft, keyRight, left, right };
      }),
    ).flat(),
  );
}

const slips = fc.uniqueArray(fc.nat(71), { maxLength: 20 }).map((numbers) => new Set(numbers));

function findingsOf(rows: readonly SightingEntry[], practice: readonly RunnerAnswer[]) {
  const builder = new SightingTableBuilder();
  for (const row of rows) builder.add(row);
  return analyse(builder.build(), null, { practice });
}

describe('corrected figures', () => {
  it('do not depend on the order of rows, of sightings or of answers', () => {
    fc.assert(
      fc.property(sightings, slips, (rows, wrong) => {
        const answers = practiceOf(['A', 'B', 'C'], wrong);
        const there = findingsOf(rows, answers).corrected;
        const back = findingsOf([...rows].reverse(), [...answers].reverse()).corrected;
        expect(figureDifferences(there, back)).toEqual([]);
      }),
    );
  });

  it('keep every figure when observers get other names', () => {
    fc.assert(
      fc.property(sightings, slips, (rows, wrong) => {
        const names: Record<string, string> = { A: 'zoe', B: 'Yan', C: 'x-3' };
        const there = findingsOf(rows, practiceOf(['A', 'B', 'C'], wrong)).corrected!;
        const renamed = rows.map((row) => ({ ...row, observer: names[row.observer]! }));
        const back = findingsOf(renamed, practiceOf(['zoe', 'Yan', 'x-3'], wrong)).corrected!;
        expect(figureDifferences(there.validation, back.validation)).toEqual([]);
        expect(figureDifferences(there.practice!.checkpoints, back.practice!.checkpoints)).toEqual([]);
        expect(figureDifferences(there.practice!.difference, back.practice!.difference)).toEqual([]);
      }),
    );
  });

  it('are the observed ones with an error-free key', () => {
    fc.assert(
      fc.property(sightings, (rows) => {
        const { checkpoints, difference } = findingsOf(rows, practiceOf(['A', 'B', 'C'], new Set())).corrected!
          .practice!;
        for (const { classes, runners } of checkpoints) {
          if (runners === 0) continue;
          for (const name of RUNNER_CLASSES) expect(classes[name].raw).toBeCloseTo(classes[name].observed!, 10);
        }
        if (difference && difference.paired > 0) {
          expect(difference.corrected.difference).toBeCloseTo(difference.observed.difference!, 10);
        }
      }),
    );
  });

  it('are the observed ones where every clip shows what was called', () => {
    fc.assert(
      fc.property(sightings, fc.integer({ min: 2, max: 4 }), (rows, every) => {
        const live = [...new Map(rows.map((row) => [`${row.checkpoint} ${row.bib}`, row])).values()].map(
          (row): SightingEntry => ({ ...row, method: 'live' }),
        );
        const clips = live
          .filter((_, i) => i % every === 0)
          .map((row): SightingEntry => ({ ...row, recordId: `${row.recordId}c`, observer: 'D', method: 'clip' }));
        const { corrected } = findingsOf([...live, ...clips], []);
        for (const { classes, pooled } of corrected?.validation?.checkpoints ?? []) {
          if (classes.rearfoot.share === null) continue;
          // Classes that are taken together have shares of their own within them.
          for (const name of pooled ? (['rearfoot'] as const) : RUNNER_CLASSES) {
            expect(classes[name].share).toBeCloseTo(classes[name].observed!, 10);
          }
        }
      }),
    );
  });

  it('add up to 1, and lie within their intervals’ range', () => {
    fc.assert(
      fc.property(sightings, slips, (rows, wrong) => {
        const { validation, practice } = findingsOf(rows, practiceOf(['A', 'B', 'C'], wrong)).corrected!;
        for (const { classes } of validation?.checkpoints ?? []) {
          if (classes.rearfoot.share === null) continue;
          expect(RUNNER_CLASSES.reduce((sum, name) => sum + classes[name].share!, 0)).toBeCloseTo(1, 10);
          for (const name of RUNNER_CLASSES) expect(classes[name].low! <= classes[name].high!).toBe(true);
        }
        for (const { classes } of practice!.checkpoints) {
          if (classes.rearfoot.raw === null) continue;
          expect(RUNNER_CLASSES.reduce((sum, name) => sum + classes[name].raw!, 0)).toBeCloseTo(1, 9);
        }
      }),
    );
  });
});

const race = fc
  .record({
    paired: fc.integer({ min: 1, max: 300 }),
    more: fc.nat(100),
    rearfoot: fc.double({ min: 0, max: 1, noNaN: true }),
    gained: fc.double({ min: 0, max: 0.5, noNaN: true }),
    lost: fc.double({ min: 0, max: 0.5, noNaN: true }),
    lateKm: fc.integer({ min: 6, max: 42 }),
    trend: fc.option(
      fc.record({
        coefficient: fc.double({ min: -2, max: 2, noNaN: true }),
        se: fc.double({ min: 0.01, max: 1, noNaN: true }),
      }),
    ),
  })
  .map(({ paired, more, rearfoot, gained, lost, lateKm, trend }): RaceCounts => ({
    ...{ race: '', early: 'Ford', earlyKm: 5, late: 'Mill', lateKm, paired, trend, commonObservers: 1, identity: null },
    classified: paired + more,
    rearfoot: Math.round(rearfoot * (paired + more)),
    gained: Math.floor(gained * paired),
    lost: Math.floor(lost * paired),
  }));
const season = fc
  .array(race, { minLength: 1, maxLength: 14 })
  .map((races) => races.map((one, i) => ({ ...one, race: `race ${i}` })));
const EFFECTS = ['share', 'difference', 'oddsRatio', 'trend'] as const;

describe('pooled figures', () => {
  it('do not depend on the order of races', () => {
    fc.assert(
      fc.property(season, (races) => {
        const [there, back] = [poolRaces(races, null), poolRaces([...races].reverse(), null)];
        for (const name of EFFECTS) {
          // The root of a flat likelihood moves with the last digits of its sums.
          for (const member of ['estimate', 'low', 'high'] as const) {
            const [one, other] = [there[name].pooled[member], back[name].pooled[member]];
            if (one === null) expect(other).toBeNull();
            else expect(other! / Math.max(1, Math.abs(one))).toBeCloseTo(one / Math.max(1, Math.abs(one)), 6);
          }
          expect([...back[name].rows].reverse().map((row) => row.race)).toEqual(
            there[name].rows.map((row) => row.race),
          );
        }
      }),
    );
  });

  it('of copies of one race are that race, with no heterogeneity and a standard error by the root of their number', () => {
    fc.assert(
      fc.property(race, fc.integer({ min: 2, max: 9 }), (one, copies) => {
        const pooled = poolRaces(
          Array.from({ length: copies }, (_, i) => ({ ...one, race: `copy ${i}` })),
          null,
        );
        for (const name of EFFECTS) {
          const { heterogeneity, pooled: mean, races, rows, tau2 } = pooled[name];
          if (races === 0) continue;
          expect(mean.estimate).toBeCloseTo(rows[0]!.estimate, 12);
          expect(mean.se! * Math.sqrt(copies)).toBeCloseTo(rows[0]!.se, 10);
          expect(tau2).toBe(0);
          expect(heterogeneity.p).toBeCloseTo(1, 12);
        }
      }),
    );
  });

  it('are finite or null, with weights that add up to 1 and a note for races left out', () => {
    fc.assert(
      fc.property(season, (races) => {
        const pooled = poolRaces(races, null);
        expect(numbersIn(pooled).filter(({ value }) => !Number.isFinite(value))).toEqual([]);
        for (const name of EFFECTS) {
          const { leftOut, races: having, rows } = pooled[name];
          expect(having + leftOut).toBe(races.length);
          if (having > 0) expect(rows.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 10);
          if (leftOut > 0) expect(pooled.notes.join('\n')).toMatch(new RegExp(`Left out of ${name},`));
        }
      }),
    );
  });
});
