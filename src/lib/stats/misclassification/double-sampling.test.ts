import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { publishedFor, differences } from '../../../../tests/helpers/findings/published.ts';
import { doubleSampling, type ReadingStratum } from './double-sampling.ts';
import { doubleSamplingDifference } from './double-sampling-difference.ts';

interface TwoStage {
  table: number[][];
  /** Units of each reading that were not validated. */
  unvalidated: number[];
}

const strataOf = ({ table, unvalidated }: TwoStage): ReadingStratum[] =>
  table.map((truth, j) => ({ truth, sampled: truth.reduce((sum, count) => sum + count, unvalidated[j]!) }));

const secondClass = (input: unknown) => {
  const { share, se } = doubleSampling(strataOf(input as TwoStage))!.shares[1]!;
  return { share, se, variance: se * se };
};

describe('published examples', () => {
  it.each(publishedFor('doubleSampling'))('%s', (_, example) => {
    expect(differences(example, secondClass(example.input))).toEqual([]);
  });

  it.each(publishedFor('doubleSamplingLogOddsRatio'))('%s', (_, example) => {
    const [one, two] = [secondClass(example.input['first']), secondClass(example.input['second'])];
    const logit = ({ share }: { share: number }) => Math.log(share / (1 - share));
    const ofLogit = ({ share, se }: { share: number; se: number }) => se / (share * (1 - share));
    const found = { estimate: logit(one) - logit(two), se: Math.hypot(ofLogit(one), ofLogit(two)) };
    expect(differences(example, found)).toEqual([]);
  });
});

const strata = fc
  .array(fc.tuple(fc.array(fc.nat(12), { minLength: 3, maxLength: 3 }), fc.nat(60)), { minLength: 3, maxLength: 3 })
  .map((rows) => rows.map(([truth, more]) => ({ truth, sampled: truth.reduce((sum, count) => sum + count, more) })));

describe('properties', () => {
  it('shares add up to 1 and lie within their intervals’ range; influences carry the standard error', () => {
    fc.assert(
      fc.property(strata, (given) => {
        const found = doubleSampling(given);
        if (!found) return;
        expect(found.shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
        found.shares.forEach(({ low, high, se }, kind) => {
          expect(low >= 0 && low < high && high <= 1).toBe(true);
          let squares = 0;
          given.forEach(({ sampled, truth }, j) => {
            const validated = truth.reduce((sum, count) => sum + count, 0);
            if (sampled > validated) squares += (sampled - validated) * found.influence(j, null, kind) ** 2;
            truth.forEach((count, i) => {
              if (count > 0) squares += count * found.influence(j, i, kind) ** 2;
            });
          });
          expect(Math.sqrt(squares) / found.n).toBeCloseTo(se, 10);
        });
      }),
    );
  });

  it('does not care in which order strata stand', () => {
    fc.assert(
      fc.property(strata, (given) => {
        const [one, two] = [doubleSampling(given), doubleSampling([...given].reverse())];
        expect(two?.shares.map(({ share }) => share.toFixed(10))).toEqual(
          one?.shares.map(({ share }) => share.toFixed(10)),
        );
      }),
    );
  });

  it('with everybody validated and read rightly is the counted share', () => {
    const found = doubleSampling([
      { sampled: 30, truth: [30, 0] },
      { sampled: 10, truth: [0, 10] },
    ])!;
    expect(found.shares[0]!.share).toBe(0.75);
    // By hand: p(1 − p)/N = 0.75·0.25/40.
    expect(found.shares[0]!.se).toBeCloseTo(Math.sqrt(0.1875 / 40), 14);
  });
});

describe('nothing to go by', () => {
  it('is null without units or with a stratum of one validated', () => {
    expect(doubleSampling([{ sampled: 0, truth: [0, 0] }])).toBeNull();
    expect(doubleSampling([{ sampled: 9, truth: [1, 0] }])).toBeNull();
    expect(
      doubleSampling([
        { sampled: 9, truth: [2, 0] },
        { sampled: 0, truth: [0, 0] },
      ])?.shares[0],
    ).toMatchObject({ share: 1, se: 0, high: 1 });
  });

  it('throws for more validated than sampled, and for units that are not those of the estimates', () => {
    expect(() => doubleSampling([{ sampled: 1, truth: [2, 0] }])).toThrow('validated');
    expect(() => doubleSampling([{ sampled: 1.5, truth: [1, 0] }])).toThrow('sampled');
    const found = doubleSampling([{ sampled: 9, truth: [2, 1] }])!;
    expect(() => doubleSamplingDifference(found, found, [], 0)).toThrow('units');
  });
});

describe('difference', () => {
  it('of an occasion to itself is 0 with no error', () => {
    const found = doubleSampling([
      { sampled: 30, truth: [8, 2] },
      { sampled: 10, truth: [1, 4] },
    ])!;
    const at = (stratum: number, truth: number | null) => ({ stratum, truth });
    const kinds = [
      [at(0, null), 20],
      [at(0, 0), 8],
      [at(0, 1), 2],
      [at(1, null), 5],
      [at(1, 0), 1],
      [at(1, 1), 4],
    ] as const;
    const units = kinds.map(([kind, count]) => ({ count, first: kind, second: kind }));
    const { difference, se, correlation } = doubleSamplingDifference(found, found, units, 0);
    expect([difference, se]).toEqual([0, 0]);
    expect(correlation).toBeCloseTo(1, 12);
  });
});
