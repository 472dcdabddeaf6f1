import type { Chart, ChartConfiguration, Plugin } from 'chart.js';
import type { IntervalMark, MarksPicture } from '../../../findings/series-picture.ts';
import { hiddenRows, legend, marksAxis, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { MARK_PX, NAME_PX, rowPx } from './chart-sizes.ts';
import { halo, markText, rowNames, writeOn } from './chart-writing.ts';

const POINT_STYLES = ['circle', 'rectRot', 'triangle', 'rect'] as const;

/** Marks as points with error bars, a row for each name and a line in it for each group. */
export function pointsChart(picture: MarksPicture, palette: ChartPalette): ChartConfiguration {
  const height = rowPx(picture);
  // A row is 1 high; its marks lie below its name, one line for each group.
  const place = (row: number, group: number): number => row + (NAME_PX + 4 + (group + 0.5) * MARK_PX) / height;
  const values: Plugin = {
    id: 'pointValues',
    beforeDatasetsDraw(chart) {
      if (picture.reference !== undefined) drawReference(chart, picture.reference, palette);
    },
    afterDatasetsDraw(chart) {
      const y = chart.scales['y']!;
      writeOn(chart, palette, (ctx) => {
        picture.groups.forEach((group, g) => {
          group.marks.forEach((mark, row) => {
            if (!mark) return;
            const text = markText(picture.unit, mark.value);
            const x = besideMark(chart, mark, ctx.measureText(text).width);
            halo(ctx, text, x, y.getPixelForValue(place(row, g)), palette.paper);
          });
        });
      });
    },
  };
  return {
    type: 'scatterWithErrorBars',
    data: {
      datasets: picture.groups.map((group, g) => ({
        label: group.name,
        data: group.marks.flatMap((mark, row) => {
          if (!mark) return [];
          const point = { x: mark.value, y: place(row, g) };
          return mark.low === null || mark.high === null ? [point] : [{ ...point, xMin: mark.low, xMax: mark.high }];
        }),
        pointStyle: POINT_STYLES[g % POINT_STYLES.length],
        pointRadius: 6,
        radius: 6,
        borderWidth: 1,
        backgroundColor: group.hollow ? palette.paper : palette.tones[group.tone],
        borderColor: palette.ink,
        pointBorderColor: group.hollow ? palette.tones[group.tone] : palette.ink,
        pointBorderWidth: group.hollow ? 2.5 : 1,
        clip: false,
        errorBarColor: palette.tones[group.tone],
        errorBarWhiskerColor: palette.tones[group.tone],
        errorBarLineWidth: 3,
        errorBarWhiskerLineWidth: 3,
        errorBarWhiskerRatio: 0,
        errorBarWhiskerSize: 10,
      })),
    },
    options: {
      ...still(palette),
      layout: { padding: { right: 14 } },
      scales: {
        x: marksAxis(picture, palette),
        y: { type: 'linear', min: 0, max: picture.rows.length, reverse: true, ...hiddenRows },
      },
      plugins: legend(palette, picture.groups.length > 1, true),
    },
    plugins: [rowNames(picture.rows, palette), values],
  } as ChartConfiguration;
}

/** A dashed line at the value that matters to all marks. */
function drawReference({ ctx, chartArea, scales }: Chart, reference: number, palette: ChartPalette): void {
  const x = scales['x']!.getPixelForValue(reference);
  ctx.save();
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1.5;
  ctx.setLineDash([4, 3]);
  ctx.beginPath();
  ctx.moveTo(x, chartArea.top);
  ctx.lineTo(x, chartArea.bottom);
  ctx.stroke();
  ctx.restore();
}

/** Where a figure of this width begins: right of its mark and error bar or, for want of room, left of them. */
function besideMark({ chartArea, scales }: Chart, { value, low, high }: IntervalMark, width: number): number {
  const x = scales['x']!;
  const right = Math.max(x.getPixelForValue(high ?? value), x.getPixelForValue(value) + 6);
  const left = Math.min(x.getPixelForValue(low ?? value), x.getPixelForValue(value) - 6);
  return Math.max(chartArea.left, right + 8 + width <= chartArea.right + 8 ? right + 8 : left - 8 - width);
}
