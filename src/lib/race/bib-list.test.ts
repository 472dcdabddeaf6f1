import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BibList } from './bib-list.ts';
import { lookAlikeBibs } from './look-alike-bibs.ts';

const bib = fc.string({ unit: fc.constantFrom(...'0123A-'), minLength: 1, maxLength: 4 });

describe('BibList', () => {
  test('answers as a scan of the list would', () => {
    fc.assert(
      fc.property(fc.array(bib), bib, (bibs, text) => {
        const list = new BibList(bibs);
        const longer = [...new Set(bibs)].filter((other) => other !== text && other.startsWith(text));
        expect(list.has(text)).toBe(bibs.includes(text));
        expect(list.beginsAnother(text)).toBe(longer.length > 0);
        expect(new Set(list.completions(text, 1000))).toEqual(new Set(longer));
        expect(list.completions(text, 2)).toHaveLength(Math.min(2, longer.length));
      }),
    );
  });

  test('offers letters only where bibs have them, and takes a small letter for the capital', () => {
    expect(new BibList(['1', '22']).letters).toEqual([]);
    const list = new BibList(['A12', 'B-7', '9']);
    expect(list.letters).toEqual(['-', 'A', 'B']);
    expect(list.spelling('a')).toBe('A');
    expect(list.spelling('c')).toBeUndefined();
    expect(new BibList(['a1', 'A2']).spelling('a')).toBe('a');
  });

  test('leaves out completions that are not wanted', () => {
    const list = new BibList(['170', '171', '172', '18']);
    expect(list.completions('17', 2, (other) => other !== '170')).toEqual(['171', '172']);
  });
});

describe('lookAlikeBibs', () => {
  test('finds the look-alike digit first, then swaps, drops and doubles', () => {
    const found = lookAlikeBibs('1784');
    expect(found).toContain('1734');
    expect(found).toContain('7184');
    expect(found).toContain('178');
    expect(found).toContain('17884');
    expect(found.indexOf('1734')).toBeLessThan(found.indexOf('1874'));
    expect(found.indexOf('1874')).toBeLessThan(found.indexOf('178'));
  });

  test('puts a digit that is easily mistaken before one that seldom is, wherever in the bib it stands', () => {
    // 3 for 8 in the last place, 2 for 7 in the first.
    const found = lookAlikeBibs('708');
    expect(found.indexOf('703')).toBeLessThan(found.indexOf('208'));
    expect(found).toContain('208');
  });

  test('offers the digit for a letter that looks like it', () => {
    expect(lookAlikeBibs('B12')).toContain('812');
  });

  test('never offers the bib itself nor one twice', () => {
    fc.assert(
      fc.property(bib, (text) => {
        const found = lookAlikeBibs(text);
        expect(found).not.toContain(text);
        expect(new Set(found).size).toBe(found.length);
        expect(found.every((other) => other.length > 0)).toBe(true);
      }),
    );
  });
});
