/**
 * Finds which of a few ASCII words stands in `bytes`, without making a string of it; -1 for another one. By hand: 0.03 s
 * for a million cells, through strings 0.13 (`npm run bench by-hand`).
 */
export type WordFinder = (bytes: Uint8Array, from: number, to: number) => number;

export function wordFinder(words: readonly string[]): WordFinder {
  const coded = words.map((word) => Uint8Array.from(word, (letter) => letter.charCodeAt(0)));
  return (bytes, from, to) => {
    for (let w = 0; w < coded.length; w += 1) if (isAt(coded[w]!, bytes, from, to)) return w;
    return -1;
  };
}

/** Whether the cell from `from` to `to` is `word`, byte for byte. */
export function isAt(word: Uint8Array, bytes: Uint8Array, from: number, to: number): boolean {
  if (word.length !== to - from) return false;
  for (let i = 0; i < word.length; i += 1) if (bytes[from + i] !== word[i]) return false;
  return true;
}
