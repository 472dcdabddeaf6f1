import type { ChartConfiguration, ChartOptions, ChartType, Plugin } from 'chart.js';
import { clock, decimal, percent } from '../../findings/sentences-numbers.ts';
import type {
  BoxesPicture,
  CoursePicture,
  FlowPicture,
  MarksPicture,
  Picture,
  StackPicture,
  Tone,
  Unit,
} from '../../findings/series-picture.ts';
import type { ChartPalette } from './chart-palette.ts';
import { areaFill } from './chart-pattern.ts';

/** Height of a row's name above its marks, and of one mark, CSS pixels. */
const NAME_PX = 22;
const MARK_PX = 20;
const BAR_PX = 30;
const FONT_PX = 13;

/** The height a picture wants at a width, CSS pixels. */
export function pictureHeight(picture: Picture, widthPx: number): number {
  switch (picture.kind) {
    case 'stack':
      return picture.bars.length * (NAME_PX + BAR_PX + 16) + 46 + legendPx(segmentNames(picture), widthPx);
    case 'marks': {
      const legendHeight =
        picture.groups.length > 1
          ? legendPx(
              picture.groups.map(({ name }) => name),
              widthPx,
            )
          : 0;
      return picture.rows.length * rowPx(picture) + axisPx(picture.axisTitle) + legendHeight;
    }
    case 'boxes':
      return picture.boxes.length * (NAME_PX + BAR_PX + 8) + axisPx(picture.axisTitle);
    case 'flow':
      return Math.max(300, Math.min(420, widthPx * 0.75));
    case 'course':
      return Math.max(240, Math.min(340, widthPx * 0.6));
  }
}

const segmentNames = (picture: StackPicture): string[] =>
  picture.bars.reduce<string[]>(
    (longest, bar) => (bar.segments.length > longest.length ? bar.segments.map(({ label }) => label) : longest),
    [],
  );

/** Height of a legend that wraps, reckoned with a usual width of a letter. */
function legendPx(names: readonly string[], widthPx: number): number {
  let lines = 1;
  let used = 0;
  for (const name of names) {
    const wide = name.length * FONT_PX * 0.58 + 44;
    if (used > 0 && used + wide > widthPx) {
      lines += 1;
      used = 0;
    }
    used += wide;
  }
  return lines * 30 + 8;
}

const axisPx = (title: string): number => 40 + title.split('; ').length * 18;

const rowPx = (picture: MarksPicture): number => NAME_PX + picture.groups.length * MARK_PX + 12;

/** How a picture is drawn. No animation and no pointer events: it stands still, as on paper. */
export function chartConfig(picture: Picture, palette: ChartPalette): ChartConfiguration {
  switch (picture.kind) {
    case 'stack':
      return stackConfig(picture, palette) as ChartConfiguration;
    case 'marks':
      return (
        picture.style === 'bar' ? barsConfig(picture, palette) : pointsConfig(picture, palette)
      ) as ChartConfiguration;
    case 'course':
      return courseConfig(picture, palette) as ChartConfiguration;
    case 'flow':
      return flowConfig(picture, palette) as ChartConfiguration;
    case 'boxes':
      return boxesConfig(picture, palette) as ChartConfiguration;
  }
}

const font = (palette: ChartPalette, weight: 'normal' | 'bold' = 'normal') => ({
  family: palette.sans,
  size: FONT_PX,
  weight,
});

/** What all pictures share. */
function still(palette: ChartPalette): ChartOptions {
  return {
    maintainAspectRatio: false,
    animation: false,
    events: [],
    font: font(palette),
    color: palette.ink,
  };
}

function legend(palette: ChartPalette, display: boolean, points: boolean) {
  return {
    legend: {
      display,
      position: 'bottom' as const,
      align: 'start' as const,
      labels: {
        color: palette.ink,
        font: font(palette),
        boxWidth: points ? 10 : 16,
        boxHeight: points ? 10 : 16,
        padding: 14,
        usePointStyle: points,
      },
    },
  };
}

function axisText(unit: Unit, value: number): string {
  switch (unit) {
    case 'share':
      return `${Math.round(value * 1000) / 10}\u00a0%`;
    case 'points':
      return decimal(Math.round(value * 1000) / 10, Number.isInteger(Math.round(value * 1000) / 10) ? 0 : 1);
    case 'time':
      return clock(value).replace(/:\d\d$/, '');
    case 'coefficient':
    case 'factor':
      return decimal(value, 1);
  }
}

/** How a mark's figure is written beside it. */
function markText(unit: Unit, value: number): string {
  if (unit === 'share') return percent(value);
  if (unit === 'points') return decimal(value * 100, 1);
  return unit === 'time' ? clock(value) : decimal(value);
}

function xAxis(palette: ChartPalette, unit: Unit, title: string) {
  return {
    type: 'linear' as const,
    border: { color: palette.ink2 },
    grid: { color: palette.line, drawTicks: true, lineWidth: 1 },
    ticks: {
      color: palette.ink2,
      font: font(palette),
      maxRotation: 0,
      autoSkipPadding: 16,
      callback: (value: number | string) => axisText(unit, Number(value)),
    },
    title: { display: title !== '', text: title.split('; '), color: palette.ink2, font: font(palette) },
  };
}

/** Writes each row's name above its marks, so that long names cost no width on a phone. */
function rowNames(names: readonly string[], palette: ChartPalette): Plugin {
  return {
    id: 'rowNames',
    afterDatasetsDraw(chart) {
      const { ctx, chartArea } = chart;
      const band = (chartArea.bottom - chartArea.top) / Math.max(1, names.length);
      ctx.save();
      ctx.font = `600 ${FONT_PX}px ${palette.sans}`;
      ctx.fillStyle = palette.ink;
      ctx.textAlign = 'left';
      ctx.textBaseline = 'top';
      names.forEach((name, i) => {
        const text = fitted(ctx, name, chartArea.right - chartArea.left);
        const y = chartArea.top + i * band + 4;
        halo(ctx, text, chartArea.left + 2, y, palette.paper);
      });
      ctx.restore();
    },
  };
}

function fitted(ctx: CanvasRenderingContext2D, text: string, width: number): string {
  if (ctx.measureText(text).width <= width) return text;
  let length = text.length;
  while (length > 1 && ctx.measureText(`${text.slice(0, length)}…`).width > width) length -= 1;
  return `${text.slice(0, length)}…`;
}

/** Text with an edge of paper, so that lines behind it do not cross it. */
function halo(ctx: CanvasRenderingContext2D, text: string, x: number, y: number, paper: string): void {
  ctx.lineWidth = 4;
  ctx.lineJoin = 'round';
  ctx.strokeStyle = paper;
  ctx.strokeText(text, x, y);
  ctx.fillText(text, x, y);
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

const hiddenRows = { display: false, grid: { display: false }, border: { display: false } };

function stackConfig(picture: StackPicture, palette: ChartPalette): ChartConfiguration<ChartType> {
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
      const { ctx } = chart;
      ctx.save();
      ctx.font = `700 ${FONT_PX}px ${palette.sans}`;
      ctx.textBaseline = 'middle';
      picture.bars.forEach((bar, row) => {
        const segment = bar.segments[0];
        const element = chart.getDatasetMeta(0).data[row];
        if (!segment || !element || segment.share < 0.2) return;
        ctx.fillStyle = palette.paper;
        ctx.fillText(percent(segment.share), chart.chartArea.left + 8, element.y);
      });
      ctx.restore();
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
        x: { ...xAxis(palette, 'share', ''), stacked: true, min: 0, max: 1 },
        y: { type: 'category', stacked: true, ...hiddenRows },
      },
      plugins: legend(palette, true, false),
    },
    plugins: [shiftedDown(names.length, NAME_PX / 2), rowNames(names, palette), values],
  } as ChartConfiguration<ChartType>;
}

/** Moves bars and boxes down in their row, below the row's name. */
function shiftedDown(rows: number, byPx: number): Plugin {
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

function barsConfig(picture: MarksPicture, palette: ChartPalette): ChartConfiguration<ChartType> {
  const thickness = MARK_PX - 4;
  const groups = picture.groups.length;
  const valueTexts: Plugin = {
    id: 'barValues',
    afterDatasetsDraw(chart) {
      const { ctx } = chart;
      ctx.save();
      ctx.font = `${FONT_PX}px ${palette.sans}`;
      ctx.fillStyle = palette.ink;
      ctx.textBaseline = 'middle';
      picture.groups.forEach((group, g) => {
        group.marks.forEach((mark, row) => {
          const element = chart.getDatasetMeta(g).data[row];
          if (!mark || !element) return;
          const text = markText(picture.unit, mark.value);
          halo(ctx, text, element.x + 6, element.y, palette.paper);
        });
      });
      ctx.restore();
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
        barThickness: thickness,
      })),
    },
    options: {
      ...still(palette),
      indexAxis: 'y',
      // Room for the figure beside a full bar.
      layout: { padding: { right: 58 } },
      scales: {
        x: {
          ...xAxis(palette, picture.unit, picture.axisTitle),
          ...(picture.min === undefined ? {} : { min: picture.min }),
          ...(picture.max === undefined ? {} : { max: picture.max }),
        },
        y: { type: 'category', ...hiddenRows },
      },
      plugins: legend(palette, groups > 1, false),
    },
    plugins: [shiftedDown(picture.rows.length, NAME_PX / 2 - 2), rowNames(picture.rows, palette), valueTexts],
  } as ChartConfiguration<ChartType>;
}

const POINT_STYLES = ['circle', 'rectRot', 'triangle', 'rect'] as const;

function pointsConfig(picture: MarksPicture, palette: ChartPalette): ChartConfiguration<ChartType> {
  const height = rowPx(picture);
  // A row is 1 high; its marks lie below its name, one line for each group.
  const place = (row: number, group: number): number => row + (NAME_PX + 4 + (group + 0.5) * MARK_PX) / height;
  const reference = picture.reference;
  const texts: Plugin = {
    id: 'pointValues',
    beforeDatasetsDraw(chart) {
      if (reference === undefined) return;
      const { ctx, chartArea } = chart;
      const x = chart.scales['x']!.getPixelForValue(reference);
      ctx.save();
      ctx.strokeStyle = palette.ink;
      ctx.lineWidth = 1.5;
      ctx.setLineDash([4, 3]);
      ctx.beginPath();
      ctx.moveTo(x, chartArea.top);
      ctx.lineTo(x, chartArea.bottom);
      ctx.stroke();
      ctx.restore();
    },
    afterDatasetsDraw(chart) {
      const { ctx, chartArea } = chart;
      const x = chart.scales['x']!;
      const y = chart.scales['y']!;
      ctx.save();
      ctx.font = `${FONT_PX}px ${palette.sans}`;
      ctx.fillStyle = palette.ink;
      ctx.textBaseline = 'middle';
      picture.groups.forEach((group, g) => {
        group.marks.forEach((mark, row) => {
          if (!mark) return;
          const text = markText(picture.unit, mark.value);
          const width = ctx.measureText(text).width;
          const right = Math.max(x.getPixelForValue(mark.high ?? mark.value), x.getPixelForValue(mark.value) + 6);
          const left = Math.min(x.getPixelForValue(mark.low ?? mark.value), x.getPixelForValue(mark.value) - 6);
          const at = right + 8 + width <= chartArea.right + 8 ? right + 8 : left - 8 - width;
          halo(ctx, text, Math.max(chartArea.left, at), y.getPixelForValue(place(row, g)), palette.paper);
        });
      });
      ctx.restore();
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
        backgroundColor: palette.tones[group.tone],
        borderColor: palette.ink,
        pointBorderColor: palette.ink,
        pointBorderWidth: 1,
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
        x: {
          ...xAxis(palette, picture.unit, picture.axisTitle),
          ...(picture.min === undefined ? {} : { min: picture.min }),
          ...(picture.max === undefined ? {} : { max: picture.max }),
        },
        y: { type: 'linear', min: 0, max: picture.rows.length, reverse: true, ...hiddenRows },
      },
      plugins: legend(palette, picture.groups.length > 1, true),
    },
    plugins: [rowNames(picture.rows, palette), texts],
  } as ChartConfiguration<ChartType>;
}

function courseConfig(picture: CoursePicture, palette: ChartPalette): ChartConfiguration<ChartType> {
  const names: Plugin = {
    id: 'courseNames',
    afterDatasetsDraw(chart) {
      const { ctx, chartArea } = chart;
      ctx.save();
      ctx.font = `${FONT_PX}px ${palette.sans}`;
      ctx.fillStyle = palette.ink;
      ctx.textBaseline = 'bottom';
      let free = -Infinity;
      picture.marks.forEach((mark, i) => {
        const element = chart.getDatasetMeta(0).data[i];
        if (!element) return;
        const text = percent(mark.value);
        const width = ctx.measureText(text).width;
        const x = Math.min(element.x + 9, chartArea.right - width + 8);
        // Where checkpoints lie close together only the first is written; the table has them all.
        if (x < free) return;
        free = x + width + 4;
        halo(ctx, text, x, element.y - 4, palette.paper);
      });
      ctx.restore();
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
          ...xAxis(palette, 'factor', 'km from the start'),
          min: 0,
          ticks: { color: palette.ink2, font: font(palette), maxRotation: 0 },
        },
        y: {
          ...xAxis(palette, 'share', 'rearfoot share'),
        },
      },
      plugins: legend(palette, false, true),
    },
    plugins: [names],
  } as ChartConfiguration<ChartType>;
}

function flowConfig(picture: FlowPicture, palette: ChartPalette): ChartConfiguration<ChartType> {
  const nodeById = new Map(picture.nodes.map((node) => [node.id, node]));
  const colour = (id: string): string => palette.tones[nodeById.get(id)?.tone ?? 'muted'];
  const last = picture.columns.length - 1;
  const heads: Plugin = {
    id: 'columnHeads',
    afterDraw(chart) {
      const { ctx, chartArea } = chart;
      ctx.save();
      ctx.font = `600 ${FONT_PX}px ${palette.sans}`;
      ctx.fillStyle = palette.ink;
      ctx.textBaseline = 'top';
      picture.columns.forEach((head, i) => {
        ctx.textAlign = i === 0 ? 'left' : 'right';
        ctx.fillText(fitted(ctx, head, chart.width / 2 - 8), i === 0 ? 0 : chart.width, 2);
      });
      ctx.textBaseline = 'middle';
      ctx.restore();
      void chartArea;
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
  } as ChartConfiguration<ChartType>;
}

function boxesConfig(picture: BoxesPicture, palette: ChartPalette): ChartConfiguration<ChartType> {
  const names = picture.boxes.map((box) => `${box.name} · median ${clock(box.median)}`);
  const all = picture.boxes.flatMap((box) => [box.low, box.high]);
  const spread = Math.max(60, Math.max(...all) - Math.min(...all));
  const step = [60, 120, 300, 600, 900, 1800, 3600, 7200].find((seconds) => spread / seconds <= 6) ?? 14_400;
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
          ...xAxis(palette, 'time', picture.axisTitle),
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
  } as ChartConfiguration<ChartType>;
}
