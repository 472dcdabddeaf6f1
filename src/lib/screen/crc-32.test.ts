import { crc32 as zlibCrc32 } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { crc32 } from './crc-32.ts';

test('gives the check value of the catalogues for the digits 1 to 9', () => {
  expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
});

test('agrees with zlib', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      expect(crc32(bytes)).toBe(zlibCrc32(bytes));
    }),
  );
});
