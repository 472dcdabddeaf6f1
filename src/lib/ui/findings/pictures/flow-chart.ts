import type { ChartConfiguration, Plugin } from 'chart.js';
import type { FlowPicture } from '../../../findings/series-picture.ts';
import { font, still } from './chart-frame.ts';
import type { ChartPalette } from './chart-palette.ts';
import { FONT_PX } from './chart-sizes.ts';
import { fitted, writeOn } from './chart-writing.ts';

/** Bands from the classes on the left to the classes on the right, as thick as they are many. */
export function flowChart(picture: FlowPicture, palette: ChartPalette): ChartConfiguration {
  const nodeById = new Map(picture.nodes.map((node) => [node.id, node]));
  const colour = (id: string): string => palette.tones[nodeById.get(id)?.tone ?? 'muted'];
  const last = picture.columns.length - 1;
  const heads: Plugin = {
    id: 'columnHeads',
    afterDraw(chart) {
      const write = (ctx: CanvasRenderingContext2D) => {
        ctx.textBaseline = 'top';
        picture.columns.forEach((head, i) => {
          ctx.textAlign = i === 0 ? 'left' : 'right';
          ctx.fillText(fitted(ctx, head, chart.width / 2 - 8), i === 0 ? 0 : chart.width, 2);
        });
      };
      writeOn(chart, palette, write, '600');
    },
  };
  const widest = Math.max(...picture.nodes.map((node) => node.name.length));
  const side = Math.min(130, widest * FONT_PX * 0.56 + 10);
  return {
    type: 'sankey',
    data: {
      datasets: [
        {
          data: picture.links.map(({ from, to, value }) => ({ from, to, flow: value })),
          colorFrom: (context: { raw?: { from: string } }) => colour(context.raw?.from ?? ''),
          colorTo: (context: { raw?: { to: string } }) => colour(context.raw?.to ?? ''),
          colorMode: 'gradient',
          alpha: 0.38,
          color: palette.ink,
          borderWidth: 0,
          borderColor: palette.ink,
          nodeWidth: 12,
          nodePadding: 20,
          nodePaddingMode: 'even',
          priority: Object.fromEntries(picture.nodes.map((node, i) => [node.id, i])),
          column: Object.fromEntries(picture.nodes.map((node) => [node.id, node.column])),
          labels: Object.fromEntries(picture.nodes.map((node) => [node.id, node.name])),
          font: font(palette),
          nodeLabels: {
            color: palette.ink,
            padding: 6,
            position: (node: { key: string }) => ((nodeById.get(node.key)?.column ?? 0) === last ? 'right' : 'left'),
          },
          size: 'max',
          clip: false,
        },
      ],
    },
    options: {
      ...still(palette),
      layout: { padding: { left: side, right: side + 12, top: 30, bottom: 14 } },
      plugins: { legend: { display: false } },
    },
    plugins: [heads],
  } as ChartConfiguration;
}
