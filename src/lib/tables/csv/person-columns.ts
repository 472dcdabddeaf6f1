import type { Column, Treatment } from './column.ts';
import { numberCell } from './column.ts';

/** How the dictionary describes bibs, in every table alike. */
export const bibWords = ({ coded }: Treatment): string =>
  coded ? 'A code drawn at random in place of the bib, the same in every table of this race.' : 'Bib as printed.';

/** The columns that start list and results share. */
export const PERSON_COLUMNS = {
  bib: {
    type: 'string',
    description: bibWords,
    constraints: { required: true, unique: true },
    names: 'bib',
    freeText: true,
    write: ({ bib }) => bib,
  },
  runner_code: {
    type: 'string',
    description: ({ coded }) =>
      coded
        ? "A code drawn at random in place of the club's own, the same for one person in every race of this device. Empty: none."
        : "The club's own code for the person, the same in every race. Personal data. Empty: none.",
    constraints: { unique: true },
    names: 'runner',
    freeText: true,
    write: ({ runner = '' }) => runner,
  },
  sex: {
    type: 'string',
    description: 'As the organiser wrote it.',
    names: 'nobody',
    freeText: true,
    write: ({ sex = '' }) => sex,
  },
  age: {
    type: 'number',
    description: 'Years.',
    constraints: { minimum: 0 },
    names: 'nobody',
    write: ({ age }) => numberCell(age),
  },
} as const satisfies Record<string, Column<PersonRow>>;

interface PersonRow {
  readonly bib: string;
  readonly runner?: string | undefined;
  readonly sex?: string | undefined;
  readonly age?: number | undefined;
}
