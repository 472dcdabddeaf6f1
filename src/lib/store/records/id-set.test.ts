import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ID_BYTES, IdSet, writeIdBytes } from './id-set.ts';

const uuid = fc.uuid();

describe('IdSet', () => {
  test('holds what a Set of texts holds, over several growths', () => {
    fc.assert(
      fc.property(fc.array(uuid, { maxLength: 4000, size: 'max' }), fc.array(uuid), (ids, others) => {
        const ours = new IdSet();
        const plain = new Set<string>();
        for (const id of [...ids, ...ids.slice(0, 50)]) {
          expect(ours.add(id)).toBe(!plain.has(id));
          plain.add(id);
        }
        expect(ours.size).toBe(plain.size);
        for (const id of [...ids, ...others]) expect(ours.has(id)).toBe(plain.has(id));
      }),
      { numRuns: 20 },
    );
  });

  test('reads ids from their bytes', () => {
    fc.assert(
      fc.property(fc.uniqueArray(uuid, { maxLength: 30 }), (ids) => {
        const bytes = new Uint8Array(ids.length * ID_BYTES);
        ids.forEach((id, i) => writeIdBytes(id, bytes, i * ID_BYTES));
        const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
        expect(hex).toBe(ids.join('').replaceAll('-', ''));
        const set = new IdSet();
        set.addBytes(bytes);
        expect(set.size).toBe(ids.length);
        expect(ids.every((id) => set.has(id))).toBe(true);
        const one = new IdSet();
        const view = new DataView(bytes.buffer);
        expect(ids.map((_, i) => one.addFrom(view, i * ID_BYTES))).toEqual(ids.map(() => true));
        expect(ids.map((_, i) => one.addFrom(view, i * ID_BYTES))).toEqual(ids.map(() => false));
      }),
    );
  });
});
