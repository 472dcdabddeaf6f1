import type { Picture } from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { pictureSvg } from './picture-svg.ts';
import { INK, WIDTH } from './svg-frame.ts';

const MARGIN = 16;
const HEAD = 22;
const FOOT = 24;
/** Letters of a title that find room on a line. */
const TITLE_LETTERS = 74;
const SOURCE_LETTERS = 100;

/**
 * A picture as an SVG file of its own: white paper, the title above, where its figures come from below. Its tones differ
 * in lightness, so that it can be read in grey.
 *
 * @param font families of the letters, as CSS writes them
 */
export function pictureFileSvg(picture: Picture, source: string, widthMm: number, font: string): string {
  const { body, height } = drawing(picture);
  const title = linesOf(picture.title, TITLE_LETTERS);
  const origin = linesOf(source, SOURCE_LETTERS);
  const top = MARGIN + title.length * HEAD;
  const [wide, high] = [WIDTH + 2 * MARGIN, top + height + origin.length * 15 + FOOT];
  const heightMm = Math.round((widthMm * high * 100) / wide) / 100;
  const text = (lines: readonly string[], y: number, step: number, look: string): string =>
    lines.map((line, i) => `<text x="${MARGIN}" y="${y + i * step}" ${look}>${escaped(line)}</text>`).join('');
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${wide} ${high}" font-family="${escaped(font)}" font-size="12" fill="${INK}">` +
    `<title>${escaped(picture.title)}</title><desc>${escaped(picture.label)}</desc><rect width="${wide}" height="${high}" fill="#fff"/>` +
    text(title, MARGIN + 12, HEAD, 'font-size="16" font-weight="600"') +
    `<g transform="translate(${MARGIN} ${top})">${body}</g>` +
    `${text(origin, top + height + 16, 15, 'font-size="11" fill="#4a5058"')}</svg>\n`
  );
}

function drawing(picture: Picture): { body: string; height: number } {
  const whole = pictureSvg(picture);
  const parts = /^<svg viewBox="0 0 [\d.]+ ([\d.]+)"[^>]*>(.*)<\/svg>$/s.exec(whole);
  if (!parts) throw new Error(`picture ${picture.id} has no drawing`);
  return { body: parts[2]!, height: Number(parts[1]) };
}

function linesOf(text: string, letters: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= letters) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
