import { expect, test } from 'vitest';
import { addInField, inverseInField, scaleInField } from './galois-field.ts';

/** By hand: product of polynomials over GF(2), then long division by x^8 + x^4 + x^3 + x^2 + 1. */
function longhand(a: number, b: number): number {
  let product = 0;
  for (let bit = 0; bit < 8; bit += 1) if ((b >> bit) & 1) product ^= a << bit;
  for (let bit = 15; bit >= 8; bit -= 1) if ((product >> bit) & 1) product ^= 0x11d << (bit - 8);
  return product;
}

test('multiplies as long division of polynomials does, all 65,536 products', () => {
  for (let a = 0; a < 256; a += 1) {
    const all = Uint8Array.from({ length: 256 }, (_, b) => b);
    scaleInField(all, a);
    expect(all).toEqual(Uint8Array.from({ length: 256 }, (_, b) => longhand(a, b)));
  }
});

test('every number but 0 has an inverse', () => {
  expect(inverseInField(0)).toBe(0);
  for (let a = 1; a < 256; a += 1) expect(longhand(a, inverseInField(a))).toBe(1);
});

test('adds a multiple from a place on, and leaves what stands before', () => {
  const into = new Uint8Array([1, 2, 3]);
  addInField(into, new Uint8Array([7, 7, 9]), 5, 1);
  expect(into).toEqual(new Uint8Array([1, 2 ^ longhand(5, 7), 3 ^ longhand(5, 9)]));
});
