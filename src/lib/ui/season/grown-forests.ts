import type { ForestPicture } from '../../findings/pool/pictures.ts';

/** A forest plot of which so many rows are made. */
export interface ShownForest {
  readonly picture: ForestPicture;
  readonly rows: number;
}

/** Rows that are made at a time: about what a tablet makes within a frame. */
const ROWS_AT_ONCE = 25;

/**
 * Forest plots step by step, from those that stand to those that `makers` make: rows that stand are changed in place,
 * further ones are added so many at a time. The first step takes away plots that are no more.
 */
export function* grownForests(
  before: readonly ShownForest[],
  makers: readonly (() => ForestPicture)[],
): Generator<readonly ShownForest[]> {
  let shown = before.slice(0, makers.length);
  if (shown.length < before.length) yield shown;
  for (const [i, make] of makers.entries()) {
    const picture = make();
    let rows = shown[i]?.rows ?? 0;
    do {
      rows = Math.min(rows + ROWS_AT_ONCE, picture.rows.length);
      shown = [...shown.slice(0, i), { picture, rows }, ...shown.slice(i + 1)];
      yield shown;
    } while (rows < picture.rows.length);
  }
}
