import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differences, publishedFor } from '../../../../tests/helpers/findings/published.ts';
import { matrixMethod, sharesByMatrix, type KeyedAnswers, type Readings } from './matrix-method.ts';

interface Positives {
  positive: number;
  tested: number;
  sensitivity: number;
  specificity: number;
}

const percentOf = ({ positive, tested, sensitivity, specificity }: Positives): number =>
  100 *
  sharesByMatrix(
    [positive / tested, 1 - positive / tested],
    [
      [sensitivity, 1 - sensitivity],
      [1 - specificity, specificity],
    ],
  )![0]!;

describe('published examples', () => {
  it.each(publishedFor('roganGladen'))('%s', (_, example) => {
    expect(differences(example, { percent: percentOf(example.input as unknown as Positives) })).toEqual([]);
  });

  it.each(publishedFor('roganGladenMany'))('%s', (_, example) => {
    const given = example.input as Record<keyof Positives, number[]>;
    const percent = given.positive.map((positive, i) =>
      percentOf({
        positive,
        tested: given.tested[i]!,
        sensitivity: given.sensitivity[i]!,
        specificity: given.specificity[i]!,
      }),
    );
    expect(differences(example, { percent })).toEqual([]);
  });

  it.each(publishedFor('matrixMethod'))('%s', (_, example) => {
    const { observed, matrix } = example.input as { observed: number[]; matrix: number[][] };
    expect(differences(example, { shares: sharesByMatrix(observed, matrix) ?? [] })).toEqual([]);
  });
});

const SIZE = { raterCount: 2, classCount: 3 };
const column = <Row>(rows: readonly Row[], of: (row: Row) => number): number[] => rows.map(of);

/** Both raters answer every item; of a class they read `wrong` items of ten as the next class. */
function answersWith(wrong: readonly number[]): KeyedAnswers {
  const rows = wrong.flatMap((errors, key) =>
    Array.from({ length: 10 }, (_, i) => [0, 1].map((rater) => ({ item: key * 10 + i, rater, key, slip: i < errors }))),
  );
  const flat = rows.flat();
  return {
    item: column(flat, ({ item }) => item),
    rater: column(flat, ({ rater }) => rater),
    key: column(flat, ({ key }) => key),
    kind: column(flat, ({ key, slip }) => (slip ? (key + 1) % 3 : key)),
    itemCount: 30,
  };
}

const readings = fc
  .array(fc.record({ unit: fc.nat(19), rater: fc.nat(1), kind: fc.nat(2) }), { minLength: 1, maxLength: 60 })
  .map((rows): Readings & { rows: typeof rows } => ({
    rows,
    unit: column(rows, ({ unit }) => unit),
    rater: column(rows, ({ rater }) => rater),
    kind: column(rows, ({ kind }) => kind),
    unitCount: 20,
  }));

describe('properties', () => {
  it('an error-free key leaves the shares as they were read', () => {
    fc.assert(
      fc.property(readings, (given) => {
        const found = matrixMethod(given, answersWith([0, 0, 0]), SIZE)!;
        found.classes!.forEach(({ raw }, kind) => expect(raw).toBeCloseTo(found.observed[kind]!, 12));
      }),
    );
  });

  it('shares add up to 1, and permuting rows, raters or items changes nothing', () => {
    fc.assert(
      fc.property(readings, (given) => {
        const answers = answersWith([1, 2, 3]);
        const found = matrixMethod(given, answers, SIZE)!;
        expect(found.classes!.reduce((sum, { raw }) => sum + raw, 0)).toBeCloseTo(1, 10);
        const rows = [...given.rows].reverse();
        const other = matrixMethod(
          {
            unit: column(rows, ({ unit }) => 19 - unit),
            rater: column(rows, ({ rater }) => 1 - rater),
            kind: column(rows, ({ kind }) => kind),
            unitCount: 20,
          },
          {
            ...answers,
            item: Array.from(answers.item, (item) => 29 - item),
            rater: Array.from(answers.rater, (rater) => 1 - rater),
          },
          SIZE,
        )!;
        other.classes!.forEach(({ raw, se }, kind) => {
          expect(raw).toBeCloseTo(found.classes![kind]!.raw, 10);
          expect(se).toBeCloseTo(found.classes![kind]!.se, 10);
        });
      }),
    );
  });
});

describe('nothing to go by', () => {
  const one = { unit: [0], rater: [0], kind: [0], unitCount: 1 };

  it('is null without a reading, and has no classes where one is read right no more often than not', () => {
    expect(matrixMethod({ unit: [], rater: [], kind: [], unitCount: 0 }, answersWith([0, 0, 0]), SIZE)).toBeNull();
    const poor = matrixMethod(one, answersWith([5, 0, 0]), SIZE)!;
    expect(poor.classes).toBeNull();
    expect(poor.matrix[0]![0]).toBeCloseTo(0.5, 12);
    expect(() => poor.unitInfluence(0)).toThrow('no estimate');
  });

  it('throws for a rater who answered nothing of a class', () => {
    const none = { item: [0], rater: [0], key: [0], kind: [0], itemCount: 1 };
    expect(() => matrixMethod(one, none, SIZE)).toThrow('no answer');
  });
});
