import type { ChartType } from 'chart.js';
import { pictureFileSvg } from '../../../findings/report/picture-file-svg.ts';
import type { Picture } from '../../../findings/series-picture.ts';
import { chartConfig } from './chart-config.ts';
import { Chart } from './chart-parts.ts';
import { lightPalette, type ChartPalette } from './chart-palette.ts';
import { withDensity } from './png-density.ts';
import { pictureHeight } from './picture-height.ts';

export { pictureHeight };

/** Draws a picture into a canvas `widthPx` wide, crisp on any screen. Returns the way to take it down. */
export function drawPicture(
  canvas: HTMLCanvasElement,
  picture: Picture,
  widthPx: number,
  palette: ChartPalette,
): () => void {
  // Twice as fine as a plain screen: the picture stays sharp on paper and when the page is enlarged.
  const chart = chartOn(canvas, picture, widthPx, palette, Math.max(2, window.devicePixelRatio));
  return () => chart.destroy();
}

function chartOn(
  canvas: HTMLCanvasElement,
  picture: Picture,
  widthPx: number,
  palette: ChartPalette,
  devicePixelRatio: number,
): Chart {
  const heightPx = pictureHeight(picture, widthPx);
  canvas.width = widthPx;
  canvas.height = heightPx;
  canvas.style.width = `${widthPx}px`;
  canvas.style.height = `${heightPx}px`;
  const config = chartConfig(picture, palette);
  // Named, not inferred: to compare every kind of chart's options with every other's takes the compiler half a minute.
  return new Chart<ChartType>(canvas, {
    ...config,
    options: { ...config.options, responsive: false, devicePixelRatio },
  });
}

const MARGIN_PX = 24;
const TITLE_PX = 22;
const SOURCE_PX = 17;
const MM_PX = 96 / 25.4;

export interface PngSize {
  readonly widthMm: number;
  /** Dots per inch. */
  readonly dpi: number;
}

/**
 * A picture as a PNG file for slides and papers, so many millimetres wide with letters of the size they have in a text:
 * always on light paper, with its title above and `source` (race, date, what was counted) below.
 */
export async function picturePng(picture: Picture, source: string, { widthMm, dpi }: PngSize): Promise<Blob> {
  const palette = lightPalette();
  const scale = dpi / 96;
  const widthPx = Math.round(widthMm * MM_PX) - 2 * MARGIN_PX;
  const height = pictureHeight(picture, widthPx);
  const plot = document.createElement('canvas');
  const chart = chartOn(plot, picture, widthPx, palette, scale);
  const sheet = document.createElement('canvas');
  const ctx = sheet.getContext('2d');
  if (!ctx) throw new Error('this browser gives no canvas to draw on');
  const titleFont = `600 17px ${palette.sans}`;
  const sourceFont = `12px ${palette.sans}`;
  const title = broken(ctx, picture.title, widthPx, titleFont);
  const origin = broken(ctx, source, widthPx, sourceFont);
  const top = MARGIN_PX + title.length * TITLE_PX;
  sheet.width = Math.round((widthMm / 25.4) * dpi);
  sheet.height = Math.round((top + height + 12 + origin.length * SOURCE_PX + MARGIN_PX / 2) * scale);
  ctx.scale(scale, scale);
  ctx.fillStyle = palette.paper;
  ctx.fillRect(0, 0, sheet.width, sheet.height);
  ctx.textBaseline = 'top';
  ctx.fillStyle = palette.ink;
  ctx.font = titleFont;
  title.forEach((line, i) => ctx.fillText(line, MARGIN_PX, MARGIN_PX - 6 + i * TITLE_PX));
  ctx.drawImage(plot, MARGIN_PX, top, widthPx, height);
  ctx.fillStyle = palette.ink2;
  ctx.font = sourceFont;
  origin.forEach((line, i) => ctx.fillText(line, MARGIN_PX, top + height + 10 + i * SOURCE_PX));
  chart.destroy();
  const blob = await new Promise<Blob>((resolve, reject) => {
    sheet.toBlob((made) => (made ? resolve(made) : reject(new Error('the picture could not be written'))), 'image/png');
  });
  return new Blob([withDensity(new Uint8Array(await blob.arrayBuffer()), dpi)], { type: 'image/png' });
}

/** A text over as many lines as its width needs. */
function broken(ctx: CanvasRenderingContext2D, text: string, widthPx: number, font: string): string[] {
  ctx.font = font;
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const longer = `${lines.at(-1) ?? ''} ${word}`;
    if (lines.length > 0 && ctx.measureText(longer).width <= widthPx) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** A picture as an SVG file with the letters of the page. */
export const pictureSvgFile = (picture: Picture, source: string, widthMm: number): Blob =>
  new Blob([pictureFileSvg(picture, source, widthMm, lightPalette().sans)], { type: 'image/svg+xml' });
