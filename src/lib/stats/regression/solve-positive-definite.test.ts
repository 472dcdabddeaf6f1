import { expect, it } from 'vitest';
import { solvePositiveDefinite } from './solve-positive-definite.ts';

it('solves, and leaves its arguments alone', () => {
  const matrix = [
    [4, 2, 0],
    [2, 3, 1],
    [0, 1, 5],
  ];
  const x = solvePositiveDefinite(matrix, [2, 1, 10])!;
  const back = matrix.map((row) => row.reduce((sum, a, j) => sum + a * x[j]!, 0));
  [2, 1, 10].forEach((value, i) => expect(back[i]).toBeCloseTo(value, 12));
  expect(matrix[0]).toEqual([4, 2, 0]);
});

it('is null for a matrix that is singular or not positive', () => {
  expect(
    solvePositiveDefinite(
      [
        [1, 1],
        [1, 1],
      ],
      [1, 1],
    ),
  ).toBeNull();
  expect(solvePositiveDefinite([[-1]], [1])).toBeNull();
});
