import type { GaitFigure } from './step-figures.ts';

/** How each figure is called and written, with its unit and decimals. */
export const FIGURE_WORDS: Readonly<
  Record<GaitFigure, { readonly name: string; readonly unit: string; readonly digits: number }>
> = {
  contact: { name: 'contact time', unit: 's', digits: 3 },
  step: { name: 'step time', unit: 's', digits: 3 },
  flight: { name: 'flight time', unit: 's', digits: 3 },
  cadence: { name: 'cadence', unit: 'steps/min', digits: 1 },
  duty: { name: 'duty factor', unit: '', digits: 3 },
  strikeAngle: { name: 'strike angle', unit: '°', digits: 1 },
  shankAngle: { name: 'shank angle', unit: '°', digits: 1 },
};

/**
 * A number, as a text, with the unit of a figure: `0.246 s`, `171.0 steps/min`, `14.2°`.
 *
 * @param gap what stands between the two
 */
export function withUnit(figure: GaitFigure, number: string, gap = '\u00a0'): string {
  const { unit } = FIGURE_WORDS[figure];
  if (unit === '' || unit === '°') return `${number}${unit}`;
  return `${number}${gap}${unit}`;
}
