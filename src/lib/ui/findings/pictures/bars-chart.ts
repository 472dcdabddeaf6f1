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
      writeOn(chart, palette, (ctx) => {
        picture.groups.forEach((group, g) => {
          group.marks.forEach((mark, row) => {
            const element = chart.getDatasetMeta(g).data[row];
            if (!mark || !element) return;
            halo(ctx, markText(picture.unit, mark.value), element.x + 6, element.y, palette.paper);
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
