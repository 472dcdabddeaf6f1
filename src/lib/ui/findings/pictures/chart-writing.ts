import type { Chart, Plugin } from 'chart.js';
import { clock, decimal, percent } from '../../../words/numbers.ts';
import type { Unit } from '../../../findings/series-picture.ts';
import type { ChartPalette } from './chart-palette.ts';
import { FONT_PX } from './chart-sizes.ts';

/** Writes on a chart in its ink; what `write` changes of the pen is set back afterwards. */
export function writeOn(
  { ctx }: Chart,
  palette: ChartPalette,
  write: (ctx: CanvasRenderingContext2D) => void,
  weight = 'normal',
): void {
  ctx.save();
  ctx.font = `${weight} ${FONT_PX}px ${palette.sans}`;
  ctx.fillStyle = palette.ink;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  write(ctx);
  ctx.restore();
}

/** How a mark's figure is written beside it. */
export function markText(unit: Unit, value: number): string {
  if (unit === 'share') return percent(value);
  if (unit === 'points') return decimal(value * 100, 1);
  if (unit === 'whole') return decimal(value, 0);
  return unit === 'time' ? clock(value) : decimal(value);
}

/** Writes each row's name above its marks, so that long names cost no width on a phone. */
export function rowNames(names: readonly string[], palette: ChartPalette): Plugin {
  return {
    id: 'rowNames',
    afterDatasetsDraw(chart) {
      const { left, right, top, bottom } = chart.chartArea;
      const band = (bottom - top) / Math.max(1, names.length);
      const write = (ctx: CanvasRenderingContext2D) => {
        ctx.textBaseline = 'top';
        names.forEach((name, i) => {
          halo(ctx, fitted(ctx, name, right - left), left + 2, top + i * band + 4, palette.paper);
        });
      };
      writeOn(chart, palette, write, '600');
    },
  };
}

/** Moves bars and boxes down in their row, below the row's name. */
export function shiftedDown(rows: number, byPx: number): Plugin {
  return {
    id: 'shiftedDown',
    afterUpdate(chart) {
      if (rows === 0) return;
      for (const [index] of chart.data.datasets.entries()) {
        for (const element of chart.getDatasetMeta(index).data) element.y += byPx;
      }
    },
  };
}

/** The text, or as much of it as the width holds. */
export function fitted(ctx: CanvasRenderingContext2D, text: string, width: number): string {
  if (ctx.measureText(text).width <= width) return text;
  let length = text.length;
  while (length > 1 && ctx.measureText(`${text.slice(0, length)}…`).width > width) length -= 1;
  return `${text.slice(0, length)}…`;
}

/** Text with an edge of paper, so that lines behind it do not cross it. */
export function halo(ctx: CanvasRenderingContext2D, text: string, x: number, y: number, paper: string): void {
  ctx.lineWidth = 4;
  ctx.lineJoin = 'round';
  ctx.strokeStyle = paper;
  ctx.strokeText(text, x, y);
  ctx.fillText(text, x, y);
}
