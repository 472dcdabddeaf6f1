import type { TextDictionary } from './text-dictionary.ts';

interface CodedText {
  code: number;
  text: string;
}

/**
 * The texts that `column` uses, sorted, and `column` rewritten to their places in that order. Figures then do not depend
 * on the order of the rows, not even in their last digit.
 */
export function sortedTexts(
  dictionary: TextDictionary,
  column: Int32Array,
  first?: (a: CodedText, b: CodedText) => number,
): CodedText[] {
  const used = new Uint8Array(dictionary.size);
  for (const code of column) if (code >= 0) used[code] = 1;
  const sorted: CodedText[] = [];
  for (const code of dictionary.order()) if (used[code]) sorted.push({ code, text: dictionary.text(code) });
  // The sort is stable: what comes first in nothing stays in the order of the texts.
  if (first) sorted.sort(first);
  const place = new Int32Array(dictionary.size);
  sorted.forEach(({ code }, i) => (place[code] = i));
  for (let row = 0; row < column.length; row += 1) if (column[row]! >= 0) column[row] = place[column[row]!]!;
  return sorted;
}
