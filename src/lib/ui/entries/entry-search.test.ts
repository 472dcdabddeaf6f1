import { expect, test } from 'vitest';
import type { ProjectedSighting } from '../../records/projection.ts';
import { searchEntries } from './entry-search.ts';

const entry = (bib: string | null, time: string, more: object = {}) =>
  ({
    bib,
    withdrawn: false,
    passed: false,
    record: { observedAt: `2026-10-04T${time}.000Z` },
    ...more,
  }) as unknown as ProjectedSighting;
const ENTRIES = [
  entry('1712', '09:42:07'),
  entry('A7', '09:41:59'),
  entry(null, '09:41:00'),
  entry('171', '10:00:00', { withdrawn: true }),
  entry('9', '19:42:00', { passed: true }),
];

test.each([
  ['', false, ['1712', 'A7', null]],
  ['171', false, ['1712']],
  ['171', true, ['1712', '171']],
  [' a7 ', false, ['A7']],
  ['no bib', false, [null]],
  ['9:4', false, ['1712', 'A7', null]],
  ['9:42', true, ['1712']],
  ['09:41:5', false, ['A7']],
  ['19:', true, ['9']],
])('%s finds by bib or by time of day', (text, all, bibs) => {
  const found = searchEntries(ENTRIES, { text, withdrawn: all, passed: all }, (instant) => instant.slice(11, 19));
  expect(found.map(({ bib }) => bib)).toEqual(bibs);
});
