import fc from 'fast-check';
import { expect, it } from 'vitest';
import { holmAdjustment } from './holm-adjustment.ts';

it('gives nothing for nothing and leaves one alone', () => {
  expect(holmAdjustment([])).toEqual([]);
  expect(holmAdjustment([0.04])).toEqual([0.04]);
});

it('never lowers a p-value, keeps their order, stays at most 1, and keeps to the order given', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 12 }), (ps) => {
      const adjusted = holmAdjustment(ps);
      ps.forEach((p, i) => {
        expect(adjusted[i]! >= p && adjusted[i]! <= 1).toBe(true);
        ps.forEach((q, j) => expect(p < q && adjusted[i]! > adjusted[j]!).toBe(false));
      });
      expect([...holmAdjustment([...ps].reverse())].reverse()).toEqual([...adjusted]);
    }),
  );
});

it('throws for what is no probability', () => {
  expect(() => holmAdjustment([0.2, 1.2])).toThrow('p-value');
});
