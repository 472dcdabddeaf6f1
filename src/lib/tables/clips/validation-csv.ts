import { RUNNER_CLASSES } from '../../records/foot.ts';
import { succeeded, type Attempt } from '../../records/attempt.ts';
import { readNamedRows, type NamedRow, type TableFaults } from '../csv/named-rows.ts';
import type { ValidationRow } from './validation-columns.ts';

const REQUIRED = ['checkpoint', 'bib', 'draw', 'live_class'] as const;
const OPTIONAL = ['seed', 'drawn_at'] as const;
type Column = (typeof REQUIRED)[number] | (typeof OPTIONAL)[number];

/** A runner whom a draw has. Whether one was reviewed is told by the clips among the sightings. */
export type DrawnRow = Omit<ValidationRow, 'draw' | 'live' | 'reviewed'> & {
  readonly draw: number;
  readonly live: NonNullable<ValidationRow['live']>;
};

/**
 * Reads who was drawn for review on clip, as an export writes it. Rows of runners who were chosen by hand are left out: the
 * sightings tell of them. A bib that stands twice in a draw is a fault.
 */
export function readValidation(bytes: Uint8Array): Attempt<DrawnRow[], TableFaults> {
  const drawn: DrawnRow[] = [];
  const rowOf = new Map<string, number>();
  const read = readNamedRows<Column>(bytes, REQUIRED, OPTIONAL, (row) => {
    if (row.text('draw') === '') return;
    const one = drawnRow(row);
    if (!one) return;
    const key = JSON.stringify([one.checkpoint, one.draw, one.bib]);
    const earlier = rowOf.get(key);
    if (earlier !== undefined) row.fault('bib', `is in draw ${one.draw} by row ${earlier} already`, one.bib);
    rowOf.set(key, row.row);
    drawn.push(one);
  });
  return read.ok ? succeeded(drawn) : read;
}

function drawnRow(row: NamedRow<Column>): DrawnRow | null {
  const checkpoint = row.filled('checkpoint');
  const bib = row.filled('bib');
  const draw = row.number('draw', (n) => Number.isInteger(n) && n > 0, 'a whole number from 1 on');
  const live = row.word('live_class', RUNNER_CLASSES);
  const seed = row.text('seed') === '' ? undefined : row.number('seed', Number.isSafeInteger, 'a whole number');
  if (checkpoint === null || bib === null || draw === null || live === null || seed === null) return null;
  return { checkpoint, bib, draw, live, seed: seed ?? null, drawnAt: row.text('drawn_at') };
}
