/** Digits taken for one another on a moving chest, either way round. Common practice, no source. */
const LOOK_ALIKE_DIGITS: Readonly<Record<string, string>> = {
  '0': '68',
  '1': '74',
  '2': '7',
  '3': '8',
  '4': '91',
  '5': '6',
  '6': '058',
  '7': '12',
  '8': '3069',
  '9': '48',
};

/**
 * Bibs that may have been meant by one that nobody wears: one digit read as one that looks like it, then two neighbours
 * swapped, then a digit dropped or doubled. Likelier kinds come first, each bib once, `bib` itself never.
 */
export function lookAlikeBibs(bib: string): string[] {
  const found = new Set<string>();
  for (let i = 0; i < bib.length; i += 1) {
    for (const other of LOOK_ALIKE_DIGITS[bib[i]!] ?? '') found.add(bib.slice(0, i) + other + bib.slice(i + 1));
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
