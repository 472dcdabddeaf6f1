import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as distributions from './distributions.ts';

/**
 * The oracle is R 4.2.2: tests/reference/distributions.R writes tests/reference/distributions.json, rows of function,
 * arguments and R's value, into tails of 1e-300.
 */
const TAIL_TOLERANCE = 1e-11;
const QUANTILE_TOLERANCE = 1e-12;

type Row = readonly [name: string, args: readonly number[], value: number];
const grid = JSON.parse(
  readFileSync(new URL('../../../tests/reference/distributions.json', import.meta.url), 'utf8'),
) as Row[];
const functions = distributions as unknown as Record<string, (...args: readonly number[]) => number>;
const names = [...new Set(grid.map(([name]) => name))];

describe('the grid of R', () => {
  it('holds every function but the quantile of F at lower tails, where R is no oracle', () => {
    const checked = new Set([...names, 'fQuantile', 'logBinomialDensity']);
    expect(Object.keys(functions).filter((name) => !checked.has(name))).toEqual([]);
    expect(grid.length).toBeGreaterThan(10_000);
  });

  it.each(names)('%s', (name) => {
    const tolerance = name.endsWith('Quantile') ? QUANTILE_TOLERANCE : TAIL_TOLERANCE;
    const off = grid
      .filter((row) => row[0] === name)
      .map(([, args, value]) => ({ args, value, got: functions[name]!(...args) }))
      .filter(({ value, got }) => !(Math.abs(got - value) <= tolerance * Math.abs(value)));
    expect(off).toEqual([]);
  });
});

describe('the quantile of F', () => {
  it('is the root of the lower tail, and the upper quantile of the mirrored distribution inverted', () => {
    for (const [df1, df2] of [
      [1, 2],
      [3, 17],
      [40, 6],
    ] as const) {
      for (const p of [1e-30, 1e-6, 0.01, 0.3, 0.5, 0.9]) {
        const x = distributions.fQuantile(p, df1, df2);
        expect(distributions.fLowerTail(x, df1, df2) / p).toBeCloseTo(1, 11);
        expect(x * distributions.fUpperQuantile(p, df2, df1)).toBeCloseTo(1, 11);
      }
    }
  });
});

describe('edges', () => {
  it('gives 0 and 1 outside the support and at infinity', () => {
    expect(distributions.normalUpperTail(Infinity)).toBe(0);
    expect(distributions.normalLowerTail(Infinity)).toBe(1);
    expect(distributions.chiSquareUpperTail(-1, 3)).toBe(1);
    expect(distributions.chiSquareLowerTail(Infinity, 3)).toBe(1);
    expect(distributions.chiSquareLowerTail(Infinity, 300)).toBe(1);
    expect(distributions.tUpperTail(-Infinity, 3)).toBe(1);
    expect(distributions.tUpperTail(Infinity, 3)).toBe(0);
    expect(distributions.fUpperTail(0, 2, 3)).toBe(1);
    expect(distributions.fLowerTail(Infinity, 2, 3)).toBe(1);
    expect(distributions.betaLowerTail(-0.5, 2, 3)).toBe(0);
    expect(distributions.betaUpperTail(1.5, 2, 3)).toBe(0);
    expect(distributions.binomialUpperTail(0, 5, 0.3)).toBe(1);
    expect(distributions.binomialUpperTail(6, 5, 0.3)).toBe(0);
    expect(distributions.logBinomialDensity(6, 5, 0.3)).toBe(-Infinity);
    expect(distributions.binomialDensity(0, 5, 0)).toBe(1);
    expect(distributions.binomialDensity(5, 5, 1)).toBe(1);
  });

  it('gives the ends of the support for the quantiles of 0 and 1', () => {
    expect(distributions.normalQuantile(0)).toBe(-Infinity);
    expect(distributions.normalQuantile(1)).toBe(Infinity);
    expect(distributions.normalQuantile(0.5)).toBe(0);
    expect(distributions.chiSquareQuantile(0, 4)).toBe(0);
    expect(distributions.chiSquareUpperQuantile(0, 4)).toBe(Infinity);
    expect(distributions.betaQuantile(0, 2, 2)).toBe(0);
    expect(distributions.betaUpperQuantile(0, 2, 2)).toBe(1);
    expect(distributions.tQuantile(0.5, 4)).toBe(0);
  });

  it('throws for NaN and for parameters out of range', () => {
    expect(() => distributions.normalUpperTail(NaN)).toThrow(RangeError);
    expect(() => distributions.chiSquareUpperTail(1, 0)).toThrow('df');
    expect(() => distributions.tUpperTail(1, -1)).toThrow(RangeError);
    expect(() => distributions.fUpperTail(1, 2, NaN)).toThrow('df2');
    expect(() => distributions.betaQuantile(1.2, 1, 1)).toThrow('p is 1.2');
    expect(() => distributions.binomialLowerTail(1.5, 3, 0.5)).toThrow('k');
  });
});

describe('far out', () => {
  // Closed form: with one degree of freedom t is the Cauchy distribution, upper tail atan(1/t)/π.
  it('keeps the tail of t where its square would overflow', () => {
    for (const t of [1e10, 1e100, 1e160, 1e300]) {
      expect(distributions.tUpperTail(t, 1) * t * Math.PI).toBeCloseTo(1, 12);
    }
  });

  // Closed form: with two degrees of freedom the chi-square distribution is exponential.
  it('is the exponential distribution for chi-square with two degrees of freedom', () => {
    for (const x of [1e-3, 1, 40, 700, 1380]) {
      expect(distributions.chiSquareUpperTail(x, 2) / Math.exp(-x / 2)).toBeCloseTo(1, 12);
    }
  });
});
