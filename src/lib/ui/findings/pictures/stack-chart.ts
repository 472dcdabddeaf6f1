import type { ChartConfiguration, Plugin } from 'chart.js';
import { percent } from '../../../words/numbers.ts';
import type { StackPicture, Tone } from '../../../findings/series-picture.ts';
import { figureAxis, hiddenRows, legend, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { areaFill } from './chart-pattern.ts';
import { BAR_PX, NAME_PX } from './chart-sizes.ts';
import { rowNames, shiftedDown, writeOn } from './chart-writing.ts';

/** Horizontal bars that each add up to the whole, with the first segment's share written in it. */
export function stackChart(picture: StackPicture, palette: ChartPalette): ChartConfiguration {
  const names = picture.bars.map((bar) => bar.name);
  const longest = Math.max(0, ...picture.bars.map((bar) => bar.segments.length));
  const datasets = Array.from({ length: longest }, (_, s) => {
    const tone: Tone = picture.bars.find((bar) => bar.segments[s])?.segments[s]?.tone ?? 'muted';
    return {
      label: picture.bars.find((bar) => bar.segments[s])?.segments[s]?.label ?? '',
      data: picture.bars.map((bar, row) => {
        const share = bar.segments[s]?.share ?? 0;
        const ends = s === 0 ? bar.whisker : undefined;
        return ends
          ? { x: share, y: row, xMin: [ends.low, ends.low], xMax: [ends.high, ends.high] }
          : { x: share, y: row };
      }),
      backgroundColor: areaFill(tone, palette),
      borderColor: palette.paper,
      borderWidth: { left: 0, right: 1.5, top: 0, bottom: 0 },
      borderSkipped: false,
      barThickness: BAR_PX,
      ...whiskers(palette, 16),
    };
  });
  const values: Plugin = {
    id: 'segmentValues',
    afterDatasetsDraw(chart) {
      const write = (ctx: CanvasRenderingContext2D) => {
        ctx.fillStyle = palette.paper;
        picture.bars.forEach((bar, row) => {
          const segment = bar.segments[0];
          const element = chart.getDatasetMeta(0).data[row];
          if (!segment || !element || segment.share < 0.2) return;
          ctx.fillText(percent(segment.share), chart.chartArea.left + 8, element.y);
        });
      };
      writeOn(chart, palette, write, '700');
    },
  };
  return {
    type: 'barWithErrorBars',
    data: { labels: names, datasets },
    options: {
      ...still(palette),
      indexAxis: 'y',
      layout: { padding: { right: 8 } },
      scales: {
        x: { ...figureAxis(palette, 'share', ''), stacked: true, min: 0, max: 1 },
        y: { type: 'category', stacked: true, ...hiddenRows },
      },
      plugins: legend(palette, true, false),
    },
    plugins: [shiftedDown(names.length, NAME_PX / 2), rowNames(names, palette), values],
  } as ChartConfiguration;
}

/** A whisker with an edge of paper: drawn twice, the wide one underneath. */
function whiskers(palette: ChartPalette, sizePx: number) {
  return {
    errorBarColor: { v: [palette.ink, palette.paper] },
    errorBarWhiskerColor: { v: [palette.ink, palette.paper] },
    errorBarLineWidth: { v: [2, 5] },
    errorBarWhiskerLineWidth: { v: [2, 5] },
    errorBarWhiskerRatio: { v: [0, 0] },
    errorBarWhiskerSize: { v: [sizePx, sizePx + 2] },
  };
}
