/** Letters that a terminal sets over two columns: those of East Asian scripts, wide forms, and pictures of their own colour. */
const WIDE =
  /^(?![\uff61-\uff9f])[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Script=Bopomofo}\p{Script=Yi}\u3000-\u303e\u30fb\u30fc\uff01-\uff60\uffe0-\uffe6\p{Emoji_Presentation}]/u;
/** Marks that stand on the letter before them, and what is not seen. */
const NO_COLUMN = /^[\p{Mn}\p{Me}\p{Cf}]/u;
const PLAIN = /^[\x20-\x7e]*$/;

/** How many columns of a terminal a text takes, as near as can be said without knowing its font. */
export function terminalColumns(text: string): number {
  if (PLAIN.test(text)) return text.length;
  let columns = 0;
  for (const letter of text) if (!NO_COLUMN.test(letter)) columns += WIDE.test(letter) ? 2 : 1;
  return columns;
}

const blanks = (text: string, columns: number): string => ' '.repeat(Math.max(0, columns - terminalColumns(text)));

/** A text with blanks behind it, over so many columns. */
export const toTheLeft = (text: string, columns: number): string => text + blanks(text, columns);

/** A text with blanks before it, over so many columns. */
export const toTheRight = (text: string, columns: number): string => blanks(text, columns) + text;

/** Letters of scripts that are written from right to left. */
const FROM_THE_RIGHT = /[\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}]/u;

/** A cell that keeps its place in its row: a text from right to left would draw its neighbours and their figures into its order. */
export const keptInPlace = (text: string): string => (FROM_THE_RIGHT.test(text) ? `\u2068${text}\u2069` : text);

/** A text of at most so many columns, its end left out for an ellipsis where it has more. */
export function shortened(text: string, most: number): string {
  if (terminalColumns(text) <= most) return text;
  let kept = '';
  for (const letter of text) {
    if (terminalColumns(kept + letter) > most - 1) break;
    kept += letter;
  }
  return `${kept}…`;
}
