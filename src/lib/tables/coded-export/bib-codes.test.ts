import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bibCodes } from './bib-codes.ts';
import { seededRandom } from '../../records/seeded-random.ts';

function bytesFrom(seed: number) {
  const random = seededRandom(seed);
  return (bytes: Uint8Array<ArrayBuffer>) => bytes.fill(0).map(() => Math.floor(random() * 256));
}

describe('bibCodes', () => {
  it('gives each bib one code that no other has, and keeps those already given', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ minLength: 1, maxLength: 4 })),
        fc.array(fc.string({ minLength: 1 })),
        fc.nat(),
        (first, more, seed) => {
          const codes = bibCodes(first, new Map(), bytesFrom(seed));
          const later = bibCodes([...first, ...more], codes, bytesFrom(seed + 1));
          expect(new Set(later.values()).size).toBe(later.size);
          expect(later.size).toBe(new Set([...first, ...more]).size);
          for (const [bib, code] of codes) expect(later.get(bib)).toBe(code);
        },
      ),
    );
  });

  it('does not hand codes out in the order of the bibs', () => {
    const bibs = Array.from({ length: 200 }, (_, i) => String(i + 1).padStart(3, '0'));
    const codes = [...bibCodes(bibs, new Map(), bytesFrom(7)).values()];
    const rising = codes.filter((code, i) => i > 0 && code > codes[i - 1]!).length;
    expect(rising).toBeGreaterThan(60);
    expect(rising).toBeLessThan(140);
  });
});
