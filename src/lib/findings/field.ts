import type { ResultRow } from '../race/race.ts';

/** What the findings need of a row of the results. */
export type FieldRow = Pick<ResultRow, 'bib' | 'finish' | 'sex' | 'age'>;

/** The field of a race, from its results, tied to the sighted bibs. */
export interface Field {
  readonly rows: readonly FieldRow[];
  /** For each sighted bib its place in `rows`, or −1. */
  readonly rowOfBib: Int32Array;
}

/** @param bibs the sighted bibs; a bib stands at most once in `rows` */
export function fieldOf(rows: readonly FieldRow[], bibs: readonly string[]): Field {
  const placeOf = new Map(bibs.map((bib, place) => [bib, place]));
  const rowOfBib = new Int32Array(bibs.length).fill(-1);
  rows.forEach(({ bib }, row) => {
    const place = placeOf.get(bib);
    if (place !== undefined) rowOfBib[place] = row;
  });
  return { rows, rowOfBib };
}
