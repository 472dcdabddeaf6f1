import type { ChartConfiguration } from 'chart.js';
import type { Picture } from '../../../findings/series-picture.ts';
import { barsChart } from './bars-chart.ts';
import { boxesChart } from './boxes-chart.ts';
import type { ChartPalette } from './chart-palette.ts';
import { courseChart } from './course-chart.ts';
import { flowChart } from './flow-chart.ts';
import { pointsChart } from './points-chart.ts';
import { stackChart } from './stack-chart.ts';

/** How a picture is drawn; each kind has a file of its own. */
export function chartConfig(picture: Picture, palette: ChartPalette): ChartConfiguration {
  switch (picture.kind) {
    case 'stack':
      return stackChart(picture, palette);
    case 'marks':
      return picture.style === 'bar' ? barsChart(picture, palette) : pointsChart(picture, palette);
    case 'course':
      return courseChart(picture, palette);
    case 'flow':
      return flowChart(picture, palette);
    case 'boxes':
      return boxesChart(picture, palette);
  }
}
