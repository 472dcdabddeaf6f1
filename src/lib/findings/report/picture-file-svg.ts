import type { Picture } from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { pictureSvg } from './picture-svg.ts';
import { INK, textOverLines, WIDTH } from './svg-frame.ts';

const MARGIN = 16;
const HEAD = 22;
const FOOT = 24;
/** Room that a letter of the title and of the line below takes on the average. */
const TITLE_LETTER = 8.6;
const SOURCE_LETTER = 6.4;
/** The least height of letters in print, points: what journals ask for (common practice, no source). */
const LEAST_POINTS = 6;
const LETTERS_HIGH = 12;

/** Units of a drawing that is to be so wide: fewer where its letters would else be too small to read. */
const unitsAcross = (widthMm: number): number =>
  Math.min(WIDTH + 2 * MARGIN, Math.floor((((widthMm / 25.4) * 72) / LEAST_POINTS) * LETTERS_HIGH));

/**
 * A picture as an SVG file of its own: white paper, the title above, where its figures come from below. Its tones differ
 * in lightness, so that it can be read in grey; no letter is lower than six points.
 *
 * @param font families of the letters, as CSS writes them
 */
export function pictureFileSvg(picture: Picture, source: string, widthMm: number, font: string): string {
  const wide = unitsAcross(widthMm);
  const inner = wide - 2 * MARGIN;
  const { body, height } = drawing(picture, inner);
  const title = textOverLines(picture.title, Math.floor(inner / TITLE_LETTER));
  const origin = textOverLines(source, Math.floor(inner / SOURCE_LETTER));
  const top = MARGIN + title.length * HEAD;
  const high = top + height + origin.length * 15 + FOOT;
  const heightMm = Math.round((widthMm * high * 100) / wide) / 100;
  const text = (lines: readonly string[], y: number, step: number, look: string): string =>
    lines.map((line, i) => `<text x="${MARGIN}" y="${y + i * step}" ${look}>${escaped(line)}</text>`).join('');
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${wide} ${high}" font-family="${escaped(font)}" font-size="12" fill="${INK}">` +
    `<title>${escaped(picture.title)}</title><desc>${escaped(picture.label)}</desc><rect width="${wide}" height="${high}" fill="#fff"/>` +
    text(title, MARGIN + 12, HEAD, 'font-size="16" font-weight="600"') +
    `<g transform="translate(${MARGIN} ${top})">${body}</g>` +
    `${text(origin, top + height + 16, 15, 'fill="#4a5058"')}</svg>\n`
  );
}

function drawing(picture: Picture, width: number): { body: string; height: number } {
  const whole = pictureSvg(picture, width);
  const parts = /^<svg viewBox="0 0 [\d.]+ ([\d.]+)"[^>]*>(.*)<\/svg>$/s.exec(whole);
  if (!parts) throw new Error(`picture ${picture.id} has no drawing`);
  return { body: parts[2]!, height: Number(parts[1]) };
}
