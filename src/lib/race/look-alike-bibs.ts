import { lookAlikes } from './look-alike-characters.ts';

/**
 * Bibs that may have been meant by one that nobody wears: one character read as one that looks like it, the most alike
 * first, then two neighbours swapped, then a digit dropped or doubled. Each bib once, `bib` itself never.
 */
export function lookAlikeBibs(bib: string): string[] {
  const found = new Set<string>();
  for (const likeness of ['alike', 'ratherAlike'] as const) {
    for (let i = 0; i < bib.length; i += 1) {
      for (const other of lookAlikes(bib[i]!, likeness)) found.add(bib.slice(0, i) + other + bib.slice(i + 1));
    }
  }
  for (let i = 0; i + 1 < bib.length; i += 1) {
    found.add(bib.slice(0, i) + bib[i + 1] + bib[i] + bib.slice(i + 2));
  }
  for (let i = 0; i < bib.length; i += 1) {
    found.add(bib.slice(0, i + 1) + bib[i] + bib.slice(i + 1));
    if (bib.length > 1) found.add(bib.slice(0, i) + bib.slice(i + 1));
  }
  found.delete(bib);
  return [...found];
}
