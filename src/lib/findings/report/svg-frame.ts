import type { Tone } from '../series-picture.ts';
import { escaped } from './escaped.ts';

/** Apart by lightness too, so that they can be told in grey. */
export const TONES: Readonly<Record<Tone, string>> = {
  rearfoot: '#1f3a5f',
  midfoot: '#5f8fc0',
  forefoot: '#e0a030',
  asymmetric: '#c9ccd1',
  first: '#1f3a5f',
  second: '#c2702a',
  third: '#5f8fc0',
  fourth: '#9aa0a8',
  muted: '#9aa0a8',
};

/** Units of every picture's width; it is drawn as wide as its page. */
export const WIDTH = 640;
export const INK = '#16191d';

/** A drawing that says to whom it cannot be seen what it shows. */
export function svgFrame(label: string, height: number, body: string, width = WIDTH): string {
  return `<svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${escaped(label)}" font-family="inherit" font-size="12" fill="${INK}">${body}</svg>`;
}

/** A text over lines of at most so many letters; a longer word stands alone. */
export function textOverLines(text: string, letters: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= letters) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
