import { compareCodePoints } from '../records/code-point-order.ts';
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
  first: (a: CodedText, b: CodedText) => number = () => 0,
): CodedText[] {
  const used = new Uint8Array(dictionary.size);
  for (const code of column) if (code >= 0) used[code] = 1;
  const sorted: CodedText[] = [];
  for (let code = 0; code < used.length; code += 1) if (used[code]) sorted.push({ code, text: dictionary.text(code) });
  sorted.sort((a, b) => first(a, b) || compareCodePoints(a.text, b.text));
  const place = new Int32Array(dictionary.size);
  sorted.forEach(({ code }, i) => (place[code] = i));
  for (let row = 0; row < column.length; row += 1) if (column[row]! >= 0) column[row] = place[column[row]!]!;
  return sorted;
}
