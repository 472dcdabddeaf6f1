import type { ChartConfiguration, Plugin } from 'chart.js';
import { percent } from '../../../words/numbers.ts';
import type { CoursePicture } from '../../../findings/series-picture.ts';
import { figureAxis, font, legend, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { halo, writeOn } from './chart-writing.ts';

/** Shares along the course, joined by a line. */
export function courseChart(picture: CoursePicture, palette: ChartPalette): ChartConfiguration {
  const values: Plugin = {
    id: 'courseValues',
    afterDatasetsDraw(chart) {
      writeOn(chart, palette, (ctx) => {
        ctx.textBaseline = 'bottom';
        let free = -Infinity;
        picture.marks.forEach((mark, i) => {
          const element = chart.getDatasetMeta(0).data[i];
          if (!element) return;
          const text = percent(mark.value);
          const width = ctx.measureText(text).width;
          const x = Math.min(element.x + 9, chart.chartArea.right - width + 8);
          // Where checkpoints lie close together only the first is written; the table has them all.
          if (x < free) return;
          free = x + width + 4;
          halo(ctx, text, x, element.y - 4, palette.paper);
        });
      });
    },
  };
  return {
    type: 'scatterWithErrorBars',
    data: {
      datasets: [
        {
          label: 'rearfoot share',
          data: picture.marks.map(({ km, value, low, high }) =>
            low === null || high === null ? { x: km, y: value } : { x: km, y: value, yMin: low, yMax: high },
          ),
          showLine: true,
          borderColor: palette.tones.rearfoot,
          borderWidth: 2,
          backgroundColor: palette.tones.rearfoot,
          pointBorderColor: palette.ink,
          pointRadius: 6,
          radius: 6,
          clip: false,
          errorBarColor: palette.ink,
          errorBarWhiskerColor: palette.ink,
          errorBarLineWidth: 2,
          errorBarWhiskerLineWidth: 2,
          errorBarWhiskerRatio: 0,
          errorBarWhiskerSize: 12,
        },
      ],
    },
    options: {
      ...still(palette),
      layout: { padding: { right: 20, top: 14 } },
      scales: {
        x: {
          ...figureAxis(palette, 'factor', 'km from the start'),
          min: 0,
          ticks: { color: palette.ink2, font: font(palette), maxRotation: 0 },
        },
        y: figureAxis(palette, 'share', 'rearfoot share'),
      },
      plugins: legend(palette, false, true),
    },
    plugins: [values],
  } as ChartConfiguration;
}
