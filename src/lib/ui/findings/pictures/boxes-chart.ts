import type { ChartConfiguration } from 'chart.js';
import { clock } from '../../../words/numbers.ts';
import type { BoxesPicture } from '../../../findings/series-picture.ts';
import { axisText, figureAxis, font, hiddenRows, legend, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { areaFill } from './chart-pattern.ts';
import { BAR_PX, NAME_PX } from './chart-sizes.ts';
import { rowNames, shiftedDown } from './chart-writing.ts';

/** Steps between the ticks of an axis of times, seconds. */
const STEPS = [60, 120, 300, 600, 900, 1800, 3600, 7200];
const LONGEST_STEP = 14_400;
const MOST_STEPS = 6;

/** Box plots of times, a row for each name with its median. */
export function boxesChart(picture: BoxesPicture, palette: ChartPalette): ChartConfiguration {
  const names = picture.boxes.map((box) => `${box.name} · median ${clock(box.median)}`);
  const all = picture.boxes.flatMap((box) => [box.low, box.high]);
  const spread = Math.max(60, Math.max(...all) - Math.min(...all));
  const step = STEPS.find((seconds) => spread / seconds <= MOST_STEPS) ?? LONGEST_STEP;
  return {
    type: 'boxplot',
    data: {
      labels: names,
      datasets: [
        {
          data: picture.boxes.map(({ low, q1, median, q3, high }) => ({
            min: low,
            whiskerMin: low,
            q1,
            median,
            q3,
            whiskerMax: high,
            max: high,
            items: [],
            outliers: [],
          })),
          backgroundColor: picture.boxes.map((box) => areaFill(box.tone, palette)),
          borderColor: palette.ink,
          medianColor: palette.ink,
          meanRadius: 0,
          borderWidth: 2,
          barThickness: BAR_PX - 6,
        },
      ],
    },
    options: {
      ...still(palette),
      indexAxis: 'y',
      minStats: 'whiskerMin',
      maxStats: 'whiskerMax',
      layout: { padding: { right: 14 } },
      scales: {
        x: {
          ...figureAxis(palette, 'time', picture.axisTitle),
          min: Math.floor(Math.min(...all) / step) * step,
          max: Math.ceil(Math.max(...all) / step) * step,
          ticks: {
            stepSize: step,
            color: palette.ink2,
            font: font(palette),
            maxRotation: 0,
            callback: (value: number | string) => axisText('time', Number(value)),
          },
        },
        y: { type: 'category', ...hiddenRows },
      },
      plugins: legend(palette, false, false),
    },
    plugins: [shiftedDown(names.length, NAME_PX / 2), rowNames(names, palette)],
  } as ChartConfiguration;
}
