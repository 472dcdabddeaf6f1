import fc from 'fast-check';
import { expect, test } from 'vitest';
import { IdColumn } from './id-column.ts';

const columnOf = (ids: readonly string[]) => {
  const column = new IdColumn();
  for (const id of ids) column.push(id);
  return column;
};

test('gives every id back as it was written, also from another column', () => {
  fc.assert(
    fc.property(fc.array(fc.uuid()), fc.array(fc.uuid()), (ids, others) => {
      const joined = columnOf(ids).joined(new IdColumn(columnOf(others).words()));
      expect(Array.from({ length: joined.size }, (_, row) => joined.at(row))).toEqual([...ids, ...others]);
    }),
  );
});

test('orders ids as their texts are ordered, and finds their places', () => {
  const near = fc.tuple(fc.uuid(), fc.nat(35), fc.constantFrom('0', '7', '8', 'f'));
  const uuid = near.map(([id, at, digit]) => (id[at] === '-' ? id : id.slice(0, at) + digit + id.slice(at + 1)));
  fc.assert(
    fc.property(fc.array(uuid, { maxLength: 30 }), uuid, (ids, wanted) => {
      const column = columnOf(ids);
      const order = Int32Array.from(ids.keys()).sort((a, b) => column.compare(a, b));
      const sorted = [...ids].sort();
      expect([...order].map((row) => ids[row])).toEqual(sorted);
      expect(column.placeIn(order, wanted)).toBe(sorted.filter((id) => id < wanted).length);
    }),
  );
});

test('throws on a text that is no id', () => {
  const sound = '01920000-0000-7000-8000-00000000000a';
  for (const text of [
    '',
    sound.toUpperCase(),
    `${sound}0`,
    sound.replaceAll('-', '0'),
    sound.replace('a', 'g'),
    '\u0130'.repeat(36),
  ]) {
    expect(() => columnOf([text])).toThrow('no UUID');
  }
});
