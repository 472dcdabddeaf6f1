import fc from 'fast-check';
import { expect, it } from 'vitest';
import { invertMatrix } from './invert-matrix.ts';

// By hand: the determinant of ((0.9, 0.1), (0.2, 0.8)) is 0.7.
it('is the adjugate over the determinant for two by two', () => {
  const inverse = invertMatrix([
    [0.9, 0.1],
    [0.2, 0.8],
  ])!;
  [0.8 / 0.7, -0.1 / 0.7, -0.2 / 0.7, 0.9 / 0.7].forEach((value, i) => {
    expect(inverse.flat()[i]).toBeCloseTo(value, 14);
  });
});

it('exchanges rows, and is null where there is no inverse', () => {
  const swap = [
    [0, 1],
    [1, 0],
  ];
  expect(invertMatrix(swap)).toEqual(swap);
  expect(
    invertMatrix([
      [1, 2],
      [2, 4],
    ]),
  ).toBeNull();
  expect(invertMatrix([])).toEqual([]);
});

it('times the matrix is the unit matrix', () => {
  const entry = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.array(entry, { minLength: 4, maxLength: 4 }), { minLength: 4, maxLength: 4 }), (given) => {
      const matrix = given.map((row, i) => row.map((value, j) => value + (i === j ? 4 : 0)));
      const inverse = invertMatrix(matrix)!;
      for (let i = 0; i < 4; i++) {
        for (let j = 0; j < 4; j++) {
          const sum = matrix[i]!.reduce((total, value, k) => total + value * inverse[k]![j]!, 0);
          expect(sum).toBeCloseTo(i === j ? 1 : 0, 12);
        }
      }
    }),
  );
});
