import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Findings } from './findings.ts';
import { quartersPicture } from './sections/finish/pictures.ts';
import { withoutTimesOfFew } from './times-of-few.ts';

// Figures of invented races computed in R 4.2.2 apart from this program; each case's README says what it holds.
const read = (name: string): Findings => ({
  ...(JSON.parse(
    readFileSync(new URL(`../../../tests/reference/cases/${name}/expected.json`, import.meta.url), 'utf8'),
  ) as Findings),
  notes: [],
});

describe('times of few', () => {
  it('gives away no bound of a quarter that is one runner’s time', () => {
    // Seven finishers: the quartiles of R's type 7 lie on or between single times.
    const few = read('mixed-16');
    expect(few.finish?.quarters.cuts).toHaveLength(3);
    const kept = withoutTimesOfFew(few);
    expect(kept.finish?.quarters).toEqual({ ...few.finish?.quarters, cuts: null });
    expect(kept.notes).toContain('cuts of quarters are withheld: a quarter has fewer than 5 runners.');
    expect(JSON.stringify(quartersPicture(few.finish!, 0.95))).not.toMatch(/\d:\d\d/);
  });

  it('leaves the bounds of larger quarters', () => {
    const many = read('two-points');
    expect(withoutTimesOfFew(many).finish?.quarters).toEqual(many.finish?.quarters);
    expect(JSON.stringify(quartersPicture(many.finish!, 0.95))).toContain('up to 3:43:05');
  });
});
