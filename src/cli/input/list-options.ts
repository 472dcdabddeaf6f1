import { BIB_FORMS, type BibForm } from '../../lib/tables/organiser/bib-forms.ts';
import { ORGANISER_FIELDS, type OrganiserOptions } from '../../lib/tables/organiser/organiser-file.ts';
import type { OrganiserField } from '../../lib/tables/organiser/organiser-headings.ts';
import { TIME_FORMS } from '../../lib/tables/organiser/time-forms.ts';

/** Options of every command that reads results, as the app's import has them. */
export const READING_OPTIONS = {
  column: { type: 'string', multiple: true },
  'heading-row': { type: 'string' },
  sheet: { type: 'string' },
  times: { type: 'string' },
  bibs: { type: 'string' },
} as const;

/** These, and what the commands have that know a race by its sightings alone. */
export const LIST_OPTIONS = {
  ...READING_OPTIONS,
  columns: { type: 'boolean' },
  km: { type: 'string' },
  start: { type: 'string' },
} as const;

export const READING_USAGE = `  --column FIELD=HEADING which heading of the results tells ${ORGANISER_FIELDS.results.join(', ')},
                         such as --column finish="Chip Time", or which column by its
                         number, such as --column finish=3; may be repeated
  --heading-row N        the row of the headings, 0 when the file has none
  --sheet NAME           the sheet of a workbook; by default the first that is not empty
  --times FORM           how the finish times are written: ${TIME_FORMS.join(', ')}
  --bibs FORM            how the bibs of the results are to be met with the sighted ones:
                         ${BIB_FORMS.join(', ')}
`;

export const LIST_USAGE = `  -                      in place of a file's name: standard input, for one file
${READING_USAGE}  --columns              show how the results were read, column by column, and stop
  --km KM                length of the race, to judge times by; by default at least as far
                         as the last checkpoint
  --start HH:MM          when the race began, for finishes that are times of day
`;

export interface ListChoice {
  readonly options: OrganiserOptions;
  /** `null`: not said, so what does not meet is asked about. */
  readonly bibs: BibForm | null;
  readonly km: number | undefined;
  readonly startOfDay: number | null;
  readonly sheet: string | undefined;
  /** Whether to show the columns and stop. */
  readonly show: boolean;
}

export interface GivenListOptions {
  readonly column?: string[] | undefined;
  readonly columns?: boolean | undefined;
  readonly 'heading-row'?: string | undefined;
  readonly sheet?: string | undefined;
  readonly times?: string | undefined;
  readonly bibs?: string | undefined;
  readonly km?: string | undefined;
  readonly start?: string | undefined;
}

/** What is asked of the reading of results, or what is wrong with it. */
export function listChoice(values: GivenListOptions): ListChoice | string {
  const columns = columnChoice(values.column ?? []);
  if (typeof columns === 'string') return columns;
  const times = oneOf('times', values.times, TIME_FORMS, undefined);
  if (typeof times === 'object') return times.wrong;
  const bibs = oneOf('bibs', values.bibs, BIB_FORMS, undefined);
  if (typeof bibs === 'object') return bibs.wrong;
  const km = values.km === undefined ? undefined : Number(values.km);
  if (km !== undefined && !(km > 0 && Number.isFinite(km)))
    return `--km: "${values.km}" is not a distance greater than 0`;
  const headingRow = values['heading-row'] === undefined ? undefined : Number(values['heading-row']);
  if (headingRow !== undefined && !(Number.isInteger(headingRow) && headingRow >= 0)) {
    return `--heading-row: "${values['heading-row']}" is not a row number, or 0 for none`;
  }
  const startOfDay = values.start === undefined ? null : secondsOfDay(values.start);
  if (Number.isNaN(startOfDay)) return `--start: "${values.start}" is not a time of day such as 9:30`;
  return {
    options: { columns, ...(headingRow === undefined ? {} : { headingRow }), ...(times ? { times } : {}) },
    bibs: bibs ?? null,
    km,
    startOfDay,
    sheet: values.sheet,
    show: values.columns ?? false,
  };
}

function oneOf<Choice extends string>(
  option: string,
  given: string | undefined,
  choices: readonly Choice[],
  otherwise: Choice | undefined,
): Choice | undefined | { wrong: string } {
  if (given === undefined) return otherwise;
  return (
    choices.find((choice) => choice === given) ?? {
      wrong: `--${option}: "${given}" is not one of ${choices.join(', ')}`,
    }
  );
}

function columnChoice(given: readonly string[]): Partial<Record<OrganiserField, number | string>> | string {
  const fields: readonly OrganiserField[] = ORGANISER_FIELDS.results;
  const columns: Partial<Record<OrganiserField, number | string>> = {};
  for (const choice of given) {
    const [field, ...rest] = choice.split('=');
    const heading = rest.join('=');
    const known = fields.find((name) => name === field);
    if (!known || heading.trim() === '')
      return `--column: "${choice}" is not FIELD=HEADING with one of ${fields.join(', ')}`;
    columns[known] = /^[1-9]\d{0,2}$/.test(heading) ? Number(heading) - 1 : heading;
  }
  return columns;
}

/** A wall-clock time such as `9:30`, or the one in an RFC 3339 date-time, as seconds from midnight; NaN for neither. */
function secondsOfDay(text: string): number {
  const match = /^(?:\d{4}-\d\d-\d\d[T ])?(\d{1,2}):([0-5]\d)(?::([0-5]\d))?(?:[.\d]*(?:Z|[+-]\d\d:\d\d))?$/.exec(text);
  if (!match || Number(match[1]) > 23) return NaN;
  return Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0);
}
