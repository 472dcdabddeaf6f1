import { describe, expect, it } from 'vitest';
import { BibNeighbours } from './bib-neighbours.ts';
import { characterMisread } from './misread-model.ts';

const neighbours = (bibs: readonly string[], read: string) =>
  new BibNeighbours(bibs)
    .of(read)
    .map(({ bib, probability }) => [bibs[bib]!, probability] as const)
    .sort((a, b) => b[1] - a[1]);

describe('bibs that may have been misread', () => {
  it('finds each single slip and nothing else', () => {
    const bibs = ['1384', '1334', '1834', '134', '11384', '13384', '9999', '1348', '2394', '01384'];
    const found = neighbours(bibs, '1384').map(([bib]) => bib);
    expect(found.sort()).toEqual(['01384', '11384', '1334', '13384', '134', '1348', '1834'].sort());
  });

  it('puts a look-alike digit before another one', () => {
    const [first] = neighbours(['1374', '1334'], '1384');
    expect(first?.[0]).toBe('1334');
  });

  it('finds bibs whose leading zeros or letters were left out', () => {
    expect(neighbours(['007', '17'], '7')[0]?.[0]).toBe('007');
    expect(neighbours(['F123', '999'], '123').map(([bib]) => bib)).toEqual(['F123']);
  });

  it('never names the bib itself, and gives probabilities', () => {
    const bibs = Array.from({ length: 9000 }, (_, i) => String(1000 + i));
    for (const read of ['1000', '5555', '1234', '9898']) {
      const found = neighbours(bibs, read);
      expect(found.some(([bib]) => bib === read)).toBe(false);
      for (const [, probability] of found) expect(probability > 0 && probability < 1).toBe(true);
    }
  });

  it('shares each digit’s misreadings out to 1', () => {
    for (const shown of '0123456789') {
      const sum = [...'0123456789'].filter((d) => d !== shown).reduce((s, d) => s + characterMisread(shown, d), 0);
      expect(sum).toBeCloseTo(1, 12);
    }
  });
});
