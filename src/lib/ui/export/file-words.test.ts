import { expect, test } from 'vitest';
import { sizeWords, zipName } from './file-words.ts';

test('a race is named by its letters and digits, whatever else stands in its name', () => {
  expect(zipName({ name: 'Möwenlauf / 10 km', date: '2027-05-02' })).toBe('Möwenlauf-10-km-2027-05-02.zip');
  expect(zipName({ name: '…', date: '2027-05-02' })).toBe('race-2027-05-02.zip');
});

test.each([
  [0, '0 bytes'],
  [1023, '1023 bytes'],
  [1024, '1 kB'],
  [1024 ** 2, '1.0 MB'],
  [2_500_000, '2.4 MB'],
])('%i bytes read as %s', (bytes, words) => expect(sizeWords(bytes)).toBe(words));
