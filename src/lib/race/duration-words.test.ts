import { describe, expect, it } from 'vitest';
import { clockWords } from './duration-words.ts';

describe('clockWords', () => {
  it.each([
    [300, 'in step with the hub'],
    [1500, '1.5 s behind the hub'],
    [-90_000, '90 s ahead of the hub'],
    [311_000, '5 min 11 s behind the hub'],
    [3_600_000, '1 h 00 min behind the hub'],
  ])('says %i ms as "%s"', (offsetMs, said) => {
    expect(clockWords(offsetMs)).toBe(said);
  });
});
