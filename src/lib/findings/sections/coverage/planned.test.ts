import { expect, test } from 'vitest';
import type { Findings } from '../../findings.ts';
import { plain } from '../../sentences/sentences-parts.ts';
import { plannedAgainstGot } from './planned.ts';
import { plannedTable, plannedWords } from './planned-words.ts';

/** Of the findings only what is compared. */
const findings = {
  shares: [
    { checkpoint: 'Old Pier', classified: 431 },
    { checkpoint: 'Quarry Hill', classified: 640 },
  ],
  shift: { early: 'Old Pier', late: 'Quarry Hill', paired: 265 },
} as unknown as Findings;

const expected = {
  places: [
    { checkpoint: 'Old Pier', classified: 445.5 },
    { checkpoint: 'Quarry Hill', classified: 708.9 },
  ],
  ...{ early: 'Old Pier', late: 'Quarry Hill', pairs: 280.4 },
};

test('what the plan expected stands beside what came', () => {
  const planned = plannedAgainstGot(findings, expected)!;
  expect(plain(plannedWords(planned))).toBe(
    'The plan expected about 446 classified at Old Pier, 431 were; 709 at Quarry Hill, 640 were; 280 at both, 265 were.',
  );
  expect(plannedTable(planned).rows[2]).toEqual(['at both', '280', '265', '−15']);
});

test('pairs are compared only where the same two checkpoints are; without a plan nothing is', () => {
  expect(plannedAgainstGot(findings, { ...expected, late: 'Weir' })!.rows).toHaveLength(2);
  const elsewhere = { ...expected, places: [{ checkpoint: 'Weir', classified: 5 }] };
  expect(plannedAgainstGot(findings, elsewhere)!.rows[0]).toEqual({ checkpoint: 'Weir', expected: 5, got: 0 });
  expect(plannedAgainstGot(findings, null)).toBeNull();
});
