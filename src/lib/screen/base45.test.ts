import fc from 'fast-check';
import { expect, test } from 'vitest';
import { base45Bytes, base45Text } from './base45.ts';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const textOf = (bytes: Uint8Array | null) => bytes && new TextDecoder().decode(bytes);

test('writes and reads the examples of RFC 9285, sections 4.3 and 4.4', () => {
  expect(base45Text(bytesOf('AB'))).toBe('BB8');
  expect(base45Text(bytesOf('Hello!!'))).toBe('%69 VD92EX0');
  expect(base45Text(bytesOf('base-45'))).toBe('UJCLQE7W581');
  expect(textOf(base45Bytes('QED8WEX0'))).toBe('ietf!');
});

test('gives any bytes back', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
      expect(base45Bytes(base45Text(bytes))).toEqual(bytes);
    }),
  );
});

test('refuses what no bytes give: other characters, a single one left over, values too great', () => {
  for (const text of ['A', 'BB8A', 'bb8', 'BB\u00e4', 'BB\n']) expect(base45Bytes(text)).toBeNull();
  // 65,535 is the last of three characters, 255 the last of two (RFC 9285, section 6).
  expect(base45Bytes('FGW')).toEqual(new Uint8Array([255, 255]));
  expect(base45Bytes('GGW')).toBeNull();
  expect(base45Bytes('U5')).toEqual(new Uint8Array([255]));
  expect(base45Bytes('V5')).toBeNull();
});
