import { describe, expect, it } from 'vitest';
import { seededRandom, normalDraw } from '../../records/seeded-random.ts';
import { median, robustLine, scaledMad } from './robust-line.ts';

describe('robust line', () => {
  it('finds a line through most of the points when a fifth are wild', () => {
    const random = seededRandom(7);
    const x = Float64Array.from({ length: 500 }, () => 7 + normalDraw(random, 0, 0.2));
    const y = x.map((v, i) => (i % 5 ? 1.2 + 0.98 * v + normalDraw(random, 0, 0.02) : 9 + 3 * random()));
    const line = robustLine(x, y);
    expect(line.slope).toBeCloseTo(0.98, 1);
    expect(line.intercept + line.slope * 7).toBeCloseTo(1.2 + 0.98 * 7, 2);
    expect(line.sd).toBeGreaterThan(0.015);
    expect(line.sd).toBeLessThan(0.04);
  });

  it('keeps slope 1 for few pairs', () => {
    expect(robustLine(Float64Array.of(1, 2, 3), Float64Array.of(2, 3, 4))).toEqual({
      intercept: 1,
      slope: 1,
      sd: 0,
      n: 3,
    });
  });

  it('has the usual median and scaled deviation', () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 2, 3])).toBe(2.5);
    expect(median([])).toBeNaN();
    // R: mad(c(1, 1, 2, 2, 4, 6, 9)) is 1.4826
    expect(scaledMad([1, 1, 2, 2, 4, 6, 9])).toBeCloseTo(1.4826, 10);
  });

  it('takes the median that sorting finds, for any number of values, ties, runs and a NaN', () => {
    const random = seededRandom(8);
    for (let round = 0; round < 2000; round += 1) {
      const distinct = 1 + Math.floor(random() * 40);
      const values = Array.from({ length: 1 + Math.floor(random() * 60) }, () => Math.floor(random() * distinct) - 5);
      if (round % 3 === 0) values.sort((a, b) => a - b);
      if (round % 50 === 1) values.push(Number.NaN);
      const sorted = Float64Array.from(values).sort();
      const half = sorted.length >> 1;
      const expected = sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
      expect(median(values)).toBe(expected === 0 ? 0 : expected);
    }
  });
});
