import { expect, it } from 'vitest';
import { leastSquares } from './least-squares.ts';

it('has only the mean without columns, and nothing of nothing', () => {
  const { terms, df, rSquared } = leastSquares([1, 2, 6], []);
  expect(terms).toHaveLength(1);
  expect(terms[0]!.estimate).toBeCloseTo(3, 12);
  expect(df).toBe(2);
  expect(rSquared).toBeCloseTo(0, 12);
  expect(leastSquares([], [])).toMatchObject({ n: 0, df: 0, rSquared: null, terms: [] });
});

it('leaves out what earlier terms determine, whatever its scale', () => {
  const y = [1, 4, 2, 8, 5, 7];
  const x = [1, 2, 3, 4, 5, 6];
  const fit = leastSquares(y, [x.map(() => 1e6), x, x.map((v) => 1e-5 * (v - 3)), x.map(() => 0), x.map((v) => v * v)]);
  expect(fit.dropped).toEqual([0, 2, 3]);
  expect(fit.terms.map((term) => term.column)).toEqual([-1, 1, 4]);
  expect(fit.terms.map((t) => t.estimate)).toEqual(
    leastSquares(y, [x, x.map((v) => v * v)]).terms.map((t) => expect.closeTo(t.estimate, 10)),
  );
});

it('has null where there is no degree of freedom left, or the fit is perfect', () => {
  const none = leastSquares([1, 2], [[0, 1]]);
  expect(none.df).toBe(0);
  expect(none.terms[0]).toMatchObject({ se: null, t: null, p: null, low: null, high: null });
  expect(leastSquares([0, 0, 0], [[1, 2, 3]]).terms[1]).toMatchObject({ estimate: 0, se: 0, t: null, p: null });
});

it('contains its estimates and widens with the level', () => {
  const at = (level: number) => leastSquares([1, 3, 2, 5], [[0, 1, 2, 3]], level).terms[1]!;
  expect(at(0.9).low! < at(0.9).estimate && at(0.9).estimate < at(0.9).high!).toBe(true);
  expect(at(0.99).low!).toBeLessThan(at(0.9).low!);
});

it('throws for lengths that differ and for a value that is not finite', () => {
  expect(() => leastSquares([1, 2], [[1]])).toThrow('column 0 has 1 values');
  expect(() => leastSquares([1, NaN], [])).toThrow('response');
  expect(() => leastSquares([1, 2], [[1, Infinity]])).toThrow('column 0');
});
