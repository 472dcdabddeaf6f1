import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FOOT_VALUES } from '../../src/lib/records/foot.ts';
import { SIGHTING_METHODS } from '../../src/lib/sightings/seen.ts';
import { SightingTableBuilder, type SightingEntry } from '../../src/lib/sightings/sighting-table.ts';
import { analyse, type AnalyseOptions } from '../../src/lib/findings/analyse.ts';
import type { FieldRow } from '../../src/lib/findings/field.ts';
import type { Findings } from '../../src/lib/findings/findings.ts';
import { numbersIn } from '../helpers/findings/figure-differences.ts';
import { unexplainedNulls } from '../helpers/findings/unexplained-nulls.ts';

const PLACES = [
  ['Ford', 4],
  ['Weir', 9.5],
  ['Arch', 9.5],
  ['Mill', 20],
] as const;

/** Sightings with every kind of trouble: no bib, repeats, ties in time, clips, rulings, walkers, unseen feet. */
const sightings = fc
  .array(
    fc.record({
      place: fc.integer({ min: 0, max: 3 }),
      bib: fc.option(fc.integer({ min: 1, max: 14 }), { freq: 12 }),
      left: fc.constantFrom('rearfoot', ...FOOT_VALUES),
      right: fc.constantFrom('rearfoot', ...FOOT_VALUES),
      walks: fc.boolean(),
      walker: fc.integer({ min: 0, max: 5 }),
      observer: fc.constantFrom('A', 'B', 'a', 'A1'),
      method: fc.constantFrom('live', 'live', ...SIGHTING_METHODS),
      minute: fc.integer({ min: 0, max: 5 }),
    }),
    { minLength: 1, maxLength: 90 },
  )
  .map((rows) =>
    rows.map(({ place, bib, left, right, walker, observer, method, minute }, i): SightingEntry => {
      const walks = walker === 0;
      return {
        recordId: `r${i}`,
        checkpoint: PLACES[place]![0],
        km: PLACES[place]![1],
        bib: bib === null ? null : String(bib),
        gait: walks ? 'walk' : 'run',
        left: walks ? 'unseen' : left,
        right: walks ? 'unseen' : right,
        observer,
        method,
        observedAtMs: minute * 60_000,
      };
    }),
  );

const results = fc.option(
  fc
    .uniqueArray(
      fc.record({
        bib: fc.integer({ min: 1, max: 20 }).map(String),
        finish: fc.option(fc.integer({ min: 50, max: 60 }), { nil: undefined }),
        sex: fc.constantFrom(undefined, 'F', 'M', 'X'),
        age: fc.constantFrom(undefined, 20, 40, 60),
      }),
      { selector: ({ bib }) => bib, maxLength: 20 },
    )
    .map((rows): FieldRow[] => rows.map((row) => row as FieldRow)),
);

function findingsOf(entries: readonly SightingEntry[], field: FieldRow[] | null, options?: AnalyseOptions): Findings {
  const builder = new SightingTableBuilder();
  for (const entry of entries) expect(builder.add(entry)).not.toMatch(/other/);
  return analyse(builder.build(), field, options);
}

interface WithInterval {
  path: string;
  estimate: number;
  low: number | null;
  high: number | null;
}

/** Every interval with the figure it is of. */
function intervalsIn(value: unknown, path = ''): WithInterval[] {
  if (typeof value !== 'object' || value === null) return [];
  const part = value as Record<string, number | null | undefined>;
  const own: WithInterval[] = [];
  const take = (estimate: string, low: string, high: string) => {
    const figure = part[estimate];
    if (typeof figure !== 'number' || part[low] === undefined) return;
    own.push({ path: `${path}.${estimate}`, estimate: figure, low: part[low], high: part[high] ?? null });
  };
  take('oddsRatio', 'oddsRatioLow', 'oddsRatioHigh');
  take('estimate', 'clusterLow', 'clusterHigh');
  const main = ['difference', 'share', 'estimate'].find((name) => part[name] !== undefined);
  if (main) take(main, 'low', 'high');
  else if (part['coefficient'] !== undefined) take('oddsRatio', 'low', 'high');
  return [...own, ...Object.entries(part).flatMap(([name, inner]) => intervalsIn(inner, `${path}.${name}`))];
}

const P_VALUE = /\.(?:p|exactP|midP|adjustedP)$/;
const cases = { numRuns: 250 };

describe('findings of any sightings and results', () => {
  it('are finite or null, with p-values and shares from 0 to 1 and a note for whoever asks why', () => {
    fc.assert(
      fc.property(sightings, results, fc.constantFrom('exclude', 'use'), (entries, field, singleFoot) => {
        const findings = findingsOf(entries, field, { singleFoot: singleFoot as 'exclude' | 'use' });
        for (const { path, value } of numbersIn(findings)) {
          expect(Number.isFinite(value), path).toBe(true);
          if (P_VALUE.test(path) || path.endsWith('.share') || path.endsWith('.agreement')) {
            expect(value >= 0 && value <= 1, `${path} is ${value}`).toBe(true);
          }
        }
        expect(unexplainedNulls(findings)).toEqual([]);
        for (const note of findings.notes) expect(note).not.toMatch(/undefined|NaN|Infinity/);
      }),
      cases,
    );
  });

  it('do not depend on the order of the rows, not in the last digit', () => {
    const shuffled = sightings.chain((entries) =>
      fc.tuple(fc.constant(entries), fc.shuffledSubarray(entries, { minLength: entries.length })),
    );
    const field = results.chain((rows) =>
      fc.tuple(fc.constant(rows), rows ? fc.shuffledSubarray(rows, { minLength: rows.length }) : fc.constant(null)),
    );
    fc.assert(
      fc.property(shuffled, field, ([entries, mixed], [rows, mixedRows]) => {
        expect(findingsOf(mixed, mixedRows)).toEqual(findingsOf(entries, rows));
      }),
      cases,
    );
  });

  it('take a record met again, and an entry that a later one replaces, into inputs alone', () => {
    fc.assert(
      fc.property(sightings, results, fc.nat(), (entries, field, pick) => {
        const plain = findingsOf(entries, field);
        const entry = entries[pick % entries.length]!;
        const again = findingsOf([...entries, entry], field);
        expect(again.inputs.excluded.sameRecord).toBe(1);
        expect(again.inputs.sightings).toBe(plain.inputs.sightings + 1);
        expect({ ...again, inputs: null, notes: null }).toEqual({ ...plain, inputs: null, notes: null });
        if (entry.bib === null) return;
        const earlier = { ...entry, recordId: 'older', observedAtMs: -1, left: 'unseen', right: 'unseen' } as const;
        const replaced = findingsOf([earlier, ...entries], field);
        expect(replaced.inputs.excluded.repeats).toBe(plain.inputs.excluded.repeats + 1);
        expect({ ...replaced, inputs: null, notes: null }).toEqual({ ...plain, inputs: null, notes: null });
      }),
      cases,
    );
  });

  it('mirror the shift when early and late change places', () => {
    fc.assert(
      fc.property(sightings, (entries) => {
        const names = [...new Set(entries.map(({ checkpoint }) => checkpoint))];
        fc.pre(names.length > 1);
        const [one, other] = names as [string, string];
        const there = findingsOf(entries, null, { early: one, late: other }).shift!;
        const back = findingsOf(entries, null, { early: other, late: one }).shift!;
        expect(back.transitions).toEqual(
          there.transitions.map((row, i) => row.map((_, j) => there.transitions[j]![i]!)),
        );
        expect(back.independent.table).toEqual(there.independent.table.toReversed());
        const near = (a: number | null, b: number | null, what: string) => {
          expect(a === null, what).toBe(b === null);
          if (a !== null && b !== null) expect(Math.abs(a - b), what).toBeLessThan(1e-9 * Math.max(1, Math.abs(b)));
        };
        const negative = (value: number | null) => (value === null ? null : -value);
        near(back.rearfoot.difference, negative(there.rearfoot.difference), 'difference');
        near(back.rearfoot.low, negative(there.rearfoot.high), 'low');
        near(back.rearfoot.high, negative(there.rearfoot.low), 'high');
        expect([back.rearfoot.gained, back.rearfoot.lost]).toEqual([there.rearfoot.lost, there.rearfoot.gained]);
        const { oddsRatio } = there.rearfoot;
        if (oddsRatio !== null && oddsRatio > 0) near(back.rearfoot.oddsRatio, 1 / oddsRatio, 'odds ratio');
        for (const name of ['p', 'exactP', 'midP'] as const) {
          near(back.rearfoot.mcnemar[name], there.rearfoot.mcnemar[name], name);
        }
        near(back.marginalHomogeneity.p, there.marginalHomogeneity.p, 'Stuart–Maxwell');
        near(back.symmetry.p, there.symmetry.p, 'Bowker');
        near(back.independent.p, there.independent.p, 'Pearson');
        near(back.independent.exactP, there.independent.exactP, 'exact');
        expect([back.paired, back.commonObservers]).toEqual([there.paired, there.commonObservers]);
      }),
      cases,
    );
  });

  it('keep every kappa when observers get other names', () => {
    const NAMES = new Map([
      ['A', 'Z'],
      ['B', 'A'],
      ['a', 'B'],
      ['A1', 'A0'],
    ]);
    fc.assert(
      fc.property(sightings, (entries) => {
        const renamed = entries.map((entry) => ({ ...entry, observer: NAMES.get(entry.observer)! }));
        const figures = (all: readonly SightingEntry[]) =>
          findingsOf(all, null)
            .agreement.pairs.map(({ units, agreement, kappa, weightedKappa, ac1 }) =>
              [
                units,
                agreement,
                kappa.estimate,
                kappa.se,
                kappa.clusterLow,
                weightedKappa.estimate,
                ac1.estimate,
                ac1.se,
              ]
                .map((figure) => (figure === null ? 'null' : figure.toFixed(9)))
                .join(),
            )
            .sort();
        expect(figures(renamed)).toEqual(figures(entries));
        expect(findingsOf(renamed, null).agreement.alpha).toEqual(findingsOf(entries, null).agreement.alpha);
      }),
      cases,
    );
  });

  it('have intervals that hold their estimate and widen with the level', () => {
    fc.assert(
      fc.property(sightings, results, (entries, field) => {
        const at = (level: number) => intervalsIn(findingsOf(entries, field, { level }));
        const narrow = at(0.8);
        const wide = at(0.99);
        expect(wide.length).toBe(narrow.length);
        narrow.forEach((inner, i) => {
          const outer = wide[i]!;
          const slack = 1e-12 * Math.max(1, Math.abs(inner.estimate));
          if (inner.low !== null) {
            expect(inner.low, inner.path).toBeLessThanOrEqual(inner.estimate + slack);
            expect(outer.low, inner.path).toBeLessThanOrEqual(inner.low + slack);
          }
          if (inner.high !== null) {
            expect(inner.high, inner.path).toBeGreaterThanOrEqual(inner.estimate - slack);
            expect(outer.high, inner.path).toBeGreaterThanOrEqual(inner.high - slack);
          }
        });
      }),
      cases,
    );
  });
});

describe('analyse', () => {
  const entry = (change: Partial<SightingEntry>): SightingEntry => ({
    recordId: 'r',
    checkpoint: 'Ford',
    km: 4,
    bib: '1',
    gait: 'run',
    left: 'rearfoot',
    right: 'rearfoot',
    observer: 'A',
    method: 'live',
    observedAtMs: 0,
    ...change,
  });

  it('throws on a checkpoint nobody was at, on one checkpoint twice, on a level out of range', () => {
    const two = [entry({}), entry({ recordId: 's', checkpoint: 'Mill', km: 20 })];
    expect(() => findingsOf(two, null, { early: 'Arch' })).toThrow(RangeError);
    expect(() => findingsOf(two, null, { early: 'Mill' })).toThrow(RangeError);
    expect(() => findingsOf(two, null, { level: 95 })).toThrow(RangeError);
  });

  it('has findings of no sighting at all', () => {
    const findings = analyse(new SightingTableBuilder().build(), []);
    expect([findings.shares, findings.shift, findings.agreement.pairs]).toEqual([[], null, []]);
  });
});
