import type { ChartType } from 'chart.js';
import type { Picture } from '../../../findings/series-picture.ts';
import { chartConfig } from './chart-config.ts';
import { Chart } from './chart-parts.ts';
import { lightPalette, type ChartPalette } from './chart-palette.ts';
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

const WIDTH_PX = 720;
const MARGIN_PX = 24;
const HEAD_PX = 48;
const FOOT_PX = 40;
const SCALE = 2;

/**
 * A picture as a PNG file for slides and papers: always on light paper, with its title above and `source` (race, date,
 * what was counted) below.
 */
export async function picturePng(picture: Picture, source: string): Promise<Blob> {
  const palette = lightPalette();
  const height = pictureHeight(picture, WIDTH_PX);
  const plot = document.createElement('canvas');
  const chart = chartOn(plot, picture, WIDTH_PX, palette, SCALE);
  const sheet = document.createElement('canvas');
  sheet.width = (WIDTH_PX + 2 * MARGIN_PX) * SCALE;
  sheet.height = (height + HEAD_PX + FOOT_PX + MARGIN_PX) * SCALE;
  const ctx = sheet.getContext('2d');
  if (!ctx) throw new Error('this browser gives no canvas to draw on');
  ctx.scale(SCALE, SCALE);
  ctx.fillStyle = palette.paper;
  ctx.fillRect(0, 0, sheet.width, sheet.height);
  ctx.fillStyle = palette.ink;
  ctx.font = `600 18px ${palette.sans}`;
  ctx.textBaseline = 'top';
  ctx.fillText(picture.title, MARGIN_PX, MARGIN_PX - 4, WIDTH_PX);
  ctx.drawImage(plot, MARGIN_PX, HEAD_PX + 4, WIDTH_PX, height);
  ctx.fillStyle = palette.ink2;
  ctx.font = `13px ${palette.sans}`;
  ctx.fillText(source, MARGIN_PX, HEAD_PX + height + 18, WIDTH_PX);
  chart.destroy();
  return new Promise((resolve, reject) => {
    sheet.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture could not be written'))), 'image/png');
  });
}
