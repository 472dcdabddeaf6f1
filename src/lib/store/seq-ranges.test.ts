import fc from 'fast-check';
import { expect, it } from 'vitest';
import { addSeqs, countSeqs, gapsBetween } from './seq-ranges.ts';

const seq = fc.integer({ min: 1, max: 60 });
const batches = fc.array(fc.array(seq), { maxLength: 8 });

it('holds what a set of the same numbers holds, in whatever batches they come', () => {
  fc.assert(
    fc.property(batches, (batches) => {
      const ranges = batches.reduce(addSeqs, []);
      const held = ranges.flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_, i) => from + i));
      expect(held).toEqual([...new Set(batches.flat())].sort((a, b) => a - b));
      expect(countSeqs(ranges)).toBe(held.length);
      // No two could be one.
      ranges.slice(1).forEach(([from], i) => expect(from).toBeGreaterThan(ranges[i]![1] + 1));
    }),
  );
});

it('names exactly the numbers that are missing', () => {
  fc.assert(
    fc.property(batches, fc.integer({ min: 0, max: 70 }), fc.integer({ min: 0, max: 70 }), (batches, after, last) => {
      const missing = gapsBetween(batches.reduce(addSeqs, []), after, last).flatMap(([from, to]) =>
        Array.from({ length: to - from + 1 }, (_, i) => from + i),
      );
      const held = new Set(batches.flat());
      const all = Array.from({ length: Math.max(0, last - after) }, (_, i) => after + 1 + i);
      expect(missing).toEqual(all.filter((n) => !held.has(n)));
    }),
  );
});
