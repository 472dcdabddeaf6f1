import type { RunnerClass } from '../../../records/foot.ts';
import type { ValidationDraw } from './validation-draw.ts';

/** A row of the table of those who were drawn for review. */
export interface RowOfDraw {
  readonly checkpoint: string;
  readonly bib: string;
  readonly draw: number;
  readonly seed: number | null;
  readonly drawnAt: string;
  readonly live: RunnerClass;
}

/** The draws that a table tells of, in the order in which they begin there. */
export function drawsOfRows(rows: readonly RowOfDraw[]): ValidationDraw[] {
  const byDraw = new Map<string, RowOfDraw[]>();
  for (const row of rows) {
    const key = JSON.stringify([row.checkpoint, row.draw]);
    byDraw.set(key, [...(byDraw.get(key) ?? []), row]);
  }
  return [...byDraw.values()].map((drawn) => {
    const { checkpoint, seed, drawnAt } = drawn[0]!;
    return { checkpoint, seed, drawnAt, runners: drawn.map(({ bib, live }) => ({ bib, live })) };
  });
}
