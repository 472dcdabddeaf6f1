import { RUNNER_CLASSES, type RunnerClass } from '../../records/foot.ts';
import { numberCell, trueCell, type Columns } from '../csv/column.ts';
import { bibWords } from '../csv/person-columns.ts';

/** A runner drawn for review on clip, or reviewed without having been drawn. */
export interface ValidationRow {
  readonly checkpoint: string;
  readonly bib: string;
  /** Counts the draws at a checkpoint from 1; `null` for a runner whom none has. */
  readonly draw: number | null;
  readonly seed: number | null;
  readonly drawnAt: string;
  readonly live: RunnerClass | null;
  readonly reviewed: boolean;
}

/** Who was drawn for review on clip, when and by which seed, and who was reviewed beyond that. */
export const VALIDATION_COLUMNS = {
  checkpoint: {
    type: 'string',
    description: 'Where the runner was seen.',
    names: 'nobody',
    freeText: true,
    write: ({ checkpoint }) => checkpoint,
  },
  bib: { type: 'string', description: bibWords, names: 'bib', freeText: true, write: ({ bib }) => bib },
  draw: {
    type: 'integer',
    description:
      'Counts the draws at the checkpoint from 1. Empty: reviewed without having been drawn, so chosen by hand.',
    names: 'nobody',
    write: ({ draw }) => numberCell(draw),
  },
  seed: {
    type: 'integer',
    description: ({ coded }) =>
      coded
        ? 'Empty: with the order of review it would tell the order of bibs. Rows are in the order of the codes.'
        : 'Seed of the draw: with the sightings of that time it draws the same runners again.',
    names: 'nobody',
    write: ({ seed }) => numberCell(seed),
  },
  drawn_at: {
    type: 'datetime',
    description: 'When the draw was made, UTC.',
    names: 'nobody',
    write: ({ drawnAt }) => drawnAt,
  },
  live_class: {
    type: 'string',
    description: 'Class by the live sightings when the draw was made.',
    constraints: { enum: RUNNER_CLASSES },
    names: 'nobody',
    write: ({ live }) => live ?? '',
  },
  reviewed: {
    type: 'string',
    description: 'true: there is a class by clip. Empty: not yet.',
    names: 'nobody',
    write: ({ reviewed }) => trueCell(reviewed),
  },
} as const satisfies Columns<ValidationRow>;
