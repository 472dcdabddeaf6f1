import type { ChartOptions } from 'chart.js';
import { clock, decimal } from '../../../words/numbers.ts';
import type { MarksPicture, Unit } from '../../../findings/series-picture.ts';
import type { ChartPalette } from './chart-palette.ts';
import { FONT_PX } from './chart-sizes.ts';

export const font = (palette: ChartPalette) => ({
  family: palette.sans,
  size: FONT_PX,
  weight: 'normal' as const,
});

/** What all pictures share. No animation and no pointer events: a picture stands still, as on paper. */
export function still(palette: ChartPalette): ChartOptions {
  return {
    maintainAspectRatio: false,
    animation: false,
    events: [],
    font: font(palette),
    color: palette.ink,
  };
}

export function legend(palette: ChartPalette, display: boolean, points: boolean) {
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

/** How a figure is written along an axis. */
export function axisText(unit: Unit, value: number): string {
  switch (unit) {
    case 'share':
      return `${Math.round(value * 1000) / 10}\u00a0%`;
    case 'points':
      return decimal(Math.round(value * 1000) / 10, Number.isInteger(Math.round(value * 1000) / 10) ? 0 : 1);
    case 'time':
      return clock(value).replace(/:\d\d$/, '');
    case 'whole':
      return decimal(value, 0);
    case 'coefficient':
    case 'factor':
      return decimal(value, 1);
  }
}

/** An axis of figures with its grid. */
export function figureAxis(palette: ChartPalette, unit: Unit, title: string) {
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

/** The axis along which a picture's marks stand, with its ends where they are given. */
export function marksAxis(picture: MarksPicture, palette: ChartPalette) {
  return {
    ...figureAxis(palette, picture.unit, picture.axisTitle),
    ...(picture.min === undefined ? {} : { min: picture.min }),
    ...(picture.max === undefined ? {} : { max: picture.max }),
  };
}

/** The axis of the rows draws nothing: their names stand above them (`rowNames`). */
export const hiddenRows = { display: false, grid: { display: false }, border: { display: false } };
