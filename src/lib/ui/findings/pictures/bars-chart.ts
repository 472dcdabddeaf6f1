import type { ChartConfiguration, Plugin } from 'chart.js';
import type { MarksPicture } from '../../../findings/series-picture.ts';
import { hiddenRows, legend, marksAxis, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { areaFill } from './chart-pattern.ts';
import { MARK_PX, NAME_PX } from './chart-sizes.ts';
import { halo, markText, rowNames, shiftedDown, writeOn } from './chart-writing.ts';

/** Marks as bars, a row for each name, with the figure written beside each bar. */
export function barsChart(picture: MarksPicture, palette: ChartPalette): ChartConfiguration {
  const values: Plugin = {
    id: 'barValues',
    afterDatasetsDraw(chart) {
      const x = chart.scales['x']!;
      writeOn(chart, palette, (ctx) => {
        picture.groups.forEach((group, g) => {
          group.marks.forEach((mark, row) => {
            const element = chart.getDatasetMeta(g).data[row];
            if (!mark || !element) return;
            let end = element.x;
            if (mark.low !== null && mark.high !== null) {
              end = Math.max(end, x.getPixelForValue(mark.high));
              drawInterval(ctx, x.getPixelForValue(mark.low), x.getPixelForValue(mark.high), element.y, palette);
            }
            halo(ctx, markText(picture.unit, mark.value), end + 6, element.y, palette.paper);
          });
        });
      });
    },
  };
  return {
    type: 'bar',
    data: {
      labels: [...picture.rows],
      datasets: picture.groups.map((group) => ({
        label: group.name,
        data: group.marks.map((mark) => mark?.value ?? null),
        backgroundColor: areaFill(group.tone, palette),
        barThickness: MARK_PX - 4,
      })),
    },
    options: {
      ...still(palette),
      indexAxis: 'y',
      // Room for the figure beside a full bar.
      layout: { padding: { right: 68 } },
      scales: { x: marksAxis(picture, palette), y: { type: 'category', ...hiddenRows } },
      plugins: legend(palette, picture.groups.length > 1, false),
    },
    plugins: [shiftedDown(picture.rows.length, NAME_PX / 2 - 2), rowNames(picture.rows, palette), values],
  } as ChartConfiguration;
}

/** An interval across the end of its bar: in ink with a rim of paper, to be told on the bar and beside it. */
function drawInterval(
  ctx: CanvasRenderingContext2D,
  low: number,
  high: number,
  y: number,
  palette: ChartPalette,
): void {
  ctx.save();
  for (const [colour, width] of [
    [palette.paper, 5],
    [palette.ink, 2],
  ] as const) {
    ctx.strokeStyle = colour;
    ctx.lineWidth = width;
    ctx.beginPath();
    ctx.moveTo(low, y);
    ctx.lineTo(high, y);
    for (const end of [low, high]) {
      ctx.moveTo(end, y - 5);
      ctx.lineTo(end, y + 5);
    }
    ctx.stroke();
  }
  ctx.restore();
}
