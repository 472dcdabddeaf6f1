import { measurePassages, valuesOf } from '../../../clips/measure-passages.ts';
import type { PassageTable } from '../../../clips/passage.ts';
import { runnerValues } from '../../../clips/runner-values.ts';
import type { GaitFigure } from '../../../clips/step-figures.ts';
import type { SightingTable } from '../../../sightings/sighting-table.ts';
import { recordBy } from '../../record-by.ts';

/** The figures that a runner's own sheet tells. */
export const SHEET_FIGURES = ['contact', 'cadence', 'shankAngle'] as const satisfies readonly GaitFigure[];
export type SheetFigure = (typeof SHEET_FIGURES)[number];

/** What clips measured of one runner at one checkpoint. */
export interface RunnerFigures {
  readonly checkpoint: string;
  readonly steps: number;
  /** Seconds, steps a minute, degrees; `sd` is the part that frames and points alone make. */
  readonly figures: Readonly<Record<SheetFigure, { readonly value: number; readonly sd: number } | null>>;
}

/** The figures of runners at every checkpoint where clips show them, by bib. */
export function runnerFigures(
  marks: PassageTable,
  bibs: readonly string[],
  isSighting: (id: string) => boolean,
): Record<string, RunnerFigures[]> {
  const asked = new Set(bibs);
  const { passages } = measurePassages(marks, isSighting);
  const entries = bibs.map((bib) => [bib, [] as RunnerFigures[]] as const);
  const byBib = new Map(entries);
  for (const { name } of marks.checkpoints) {
    const here = passages.filter(({ passage }) => passage.checkpoint === name && asked.has(passage.bib));
    for (const bib of new Set(here.map(({ passage }) => passage.bib))) {
      const own = here.filter(({ passage }) => passage.bib === bib);
      const values = valuesOf(own);
      byBib.get(bib)?.push({
        checkpoint: name,
        steps: own.reduce((sum, { steps }) => sum + steps.length, 0),
        figures: recordBy(SHEET_FIGURES, (figure) => {
          const [one] = runnerValues(values[figure]);
          return one ? { value: one.value, sd: Math.sqrt(one.frameVariance) } : null;
        }),
      });
    }
  }
  return Object.fromEntries(entries);
}

/** Whether a table holds a sighting of an id. */
export function isSightingOf(table: SightingTable): (id: string) => boolean {
  const ids = new Set(Array.from({ length: table.size }, (_, row) => table.recordId(row)));
  return (id) => ids.has(id);
}
