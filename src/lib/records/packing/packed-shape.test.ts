import { expect, test } from 'vitest';
import { KINDS } from '../kinds.ts';
import { SHAPED_KINDS, SHAPED_WITH_TARGET } from './packed-shape.ts';

test('shaped kinds point at another record when the kind does, and count from the least number', () => {
  for (const [i, kind] of SHAPED_KINDS.entries()) {
    expect(SHAPED_WITH_TARGET.includes(kind)).toBe(KINDS[kind].targets !== null);
    expect(KINDS[kind].number).toBe(KINDS[SHAPED_KINDS[0]].number + i);
  }
});
