import fc from 'fast-check';
import { expect, it } from 'vitest';
import { FrameStore } from './frame-store.ts';

const frame = () => {
  const held = { closed: false, close: () => void (held.closed = true) };
  return held;
};

it('never holds more bytes than its bound, keeps the frames nearest to the present one, and frees the others', () => {
  fc.assert(
    fc.property(fc.array(fc.nat(500), { maxLength: 200 }), fc.integer({ min: 1, max: 20 }), (frames, most) => {
      const store = new FrameStore<ReturnType<typeof frame>>(100, most * 100 + 99, 1000);
      const made: ReturnType<typeof frame>[] = [];
      for (const place of frames) {
        const held = frame();
        made.push(held);
        store.centre(place);
        store.put(place, held);
        expect(store.has(place)).toBe(true);
        expect(store.bytes).toBeLessThanOrEqual(most * 100);
      }
      expect(made.filter(({ closed }) => !closed)).toHaveLength(store.bytes / 100);
      store.clear();
      expect(made.every(({ closed }) => closed)).toBe(true);
    }),
  );
});

it('gives up half when memory is refused, down to 8, then one by one', () => {
  const store = new FrameStore<ReturnType<typeof frame>>(1, 33, 33);
  const sizes: number[] = [];
  while (store.squeeze()) sizes.push(store.capacity);
  expect(sizes).toEqual([16, 8, 7, 6, 5, 4, 3, 2, 1]);
  expect(store.squeezed).toBe(true);
});
