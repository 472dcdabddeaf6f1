import type { Spot } from './point-placing.svelte.ts';

export interface LabelPlace {
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'end';
}

interface PictureSize {
  readonly width: number;
  readonly height: number;
  /** Height of the letters, pixels of the picture as all else here. */
  readonly letters: number;
}

/** Room for the name of a point of the shoe, in heights of a letter. */
const ROOM = 4;

/**
 * Where the name of a point stands so that the names of one leg do not lie on each other: those of the shoe below it, the
 * heel's and the toe's outwards, a line further down where that would leave the picture, as is what touches first; those of
 * the leg above.
 */
export function labelPlace(
  name: string,
  [x, y]: Spot,
  all: Readonly<Record<string, Spot>>,
  { width, height, letters }: PictureSize,
): LabelPlace {
  const other = name === 'heel' ? all['toe'] : name === 'toe' ? all['heel'] : undefined;
  const outwards = other !== undefined && x < other[0] ? 'end' : 'start';
  const fits = outwards === 'end' ? x > ROOM * letters : x < width - ROOM * letters;
  const anchor = fits ? outwards : outwards === 'end' ? 'start' : 'end';
  const below = y + letters * (name === 'touch' || !fits ? 2.3 : 1.2);
  const isBelow = name !== 'knee' && name !== 'ankle' && below < height;
  const aside = letters * 0.5;
  return { x: anchor === 'start' ? x + aside : x - aside, y: isBelow ? below : y - letters * 0.4, anchor };
}
