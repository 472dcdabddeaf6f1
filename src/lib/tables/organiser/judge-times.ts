import { isPossible, isPossibleField, type RaceLength } from './pace-limits.ts';
import { OTHER_FORMS, timeIn, timeShape, type TimeForm, type TimeShape } from './time-forms.ts';

/** A reading of a column with what its first times would be. */
export interface TimeReading {
  readonly form: TimeForm;
  /** Seconds of the example rows, in their order. */
  readonly seconds: readonly number[];
}

/** A column whose times, as they stand, nobody can have run: what else they may be is for a person to say. */
export interface TimeQuestion {
  readonly heading: string;
  /** Rows as a spreadsheet counts them, and what stands there. */
  readonly rows: readonly { readonly row: number; readonly found: string }[];
  readonly asTheyStand: TimeReading;
  /** Readings that give possible times; none for times of day while the start is not known. */
  readonly proposals: readonly TimeReading[];
}

export interface TimeCell {
  readonly row: number;
  readonly text: string;
}

export type TimeVerdict =
  /** Possible as they stand. */
  | { readonly kind: 'possible' }
  /** Impossible as they stand, and no other reading comes to mind. */
  | { readonly kind: 'impossible' }
  | { readonly kind: 'question'; readonly question: TimeQuestion }
  /** No time, or hardly one, can be read. */
  | { readonly kind: 'unreadable' };

/** A column is of one look when at least this share of its times is. */
const ONE_LOOK = 0.9;
const EXAMPLES = 3;
/** The earliest a field comes in by the clock on the wall. From here on a column may hold times of day. */
const EARLIEST_ARRIVAL = 5 * 3600;
const DAY = 86_400;

/**
 * Whether a column of times makes times that a field can have run over the length of the race. Only a column of one look
 * is put into question: its cells then all mean the same.
 */
export function judgeTimes(
  heading: string,
  cells: readonly TimeCell[],
  length: RaceLength,
  startOfDay: number | null,
): TimeVerdict {
  const read = cells.map(({ row, text }) => ({ row, text: text.trim(), cell: timeIn('clock', text) }));
  const times = read.flatMap(({ row, text, cell }) =>
    cell.kind === 'time' ? [{ row, text, seconds: cell.seconds }] : [],
  );
  const byTwelveHours = read.filter(({ text }) => timeShape(text) === 'twelve hours');
  if (byTwelveHours.length > times.length) return ofTwelveHours(heading, byTwelveHours, length, startOfDay);
  const faults = read.filter(({ cell }) => cell.kind === 'fault').length;
  if (times.length === 0 || faults > times.length) return { kind: 'unreadable' };
  if (
    isPossibleField(
      times.map(({ seconds }) => seconds),
      length,
    )
  )
    return { kind: 'possible' };
  const look = commonLook(times.map(({ text }) => text));
  if (look === null) return { kind: 'impossible' };
  const alike = times.filter(({ text }) => timeShape(text) === look);
  const secondsIn = (form: TimeForm): number[] =>
    alike.flatMap(({ text }) => {
      const cell = timeIn(form, text, startOfDay);
      return cell.kind === 'time' ? [cell.seconds] : [];
    });
  const possible = OTHER_FORMS[look].filter((form) => {
    const seconds = secondsIn(form);
    return seconds.length === alike.length && isPossibleField(seconds, length);
  });
  if (
    possible.length === 0 &&
    !mayBeTimesOfDay(
      alike.map(({ seconds }) => seconds),
      length,
    )
  ) {
    return { kind: 'impossible' };
  }
  const examples = alike.slice(0, EXAMPLES);
  const reading = (form: TimeForm): TimeReading => ({ form, seconds: secondsIn(form).slice(0, EXAMPLES) });
  return {
    kind: 'question',
    question: {
      heading,
      rows: examples.map(({ row, text }) => ({ row, found: text })),
      asTheyStand: reading('clock'),
      proposals: possible.map(reading),
    },
  };
}

/** A column by the clock of twelve hours holds times of day, whatever the distance: only the start makes finish times of them. */
function ofTwelveHours(
  heading: string,
  cells: readonly TimeCell[],
  length: RaceLength,
  startOfDay: number | null,
): TimeVerdict {
  const seconds = cells.flatMap(({ text }) => {
    const cell = timeIn('time-of-day', text, startOfDay);
    return cell.kind === 'time' ? [cell.seconds] : [];
  });
  const possible = seconds.length === cells.length && isPossibleField(seconds, length);
  return {
    kind: 'question',
    question: {
      heading,
      rows: cells.slice(0, EXAMPLES).map(({ row, text }) => ({ row, found: text })),
      asTheyStand: { form: 'clock', seconds: [] },
      proposals: possible ? [{ form: 'time-of-day', seconds: seconds.slice(0, EXAMPLES) }] : [],
    },
  };
}

/** The look of nearly all cells; `null` when they differ. */
export function commonLook(cells: readonly string[]): TimeShape | null {
  const counts = new Map<TimeShape, number>();
  for (const cell of cells) counts.set(timeShape(cell), (counts.get(timeShape(cell)) ?? 0) + 1);
  const [shape, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? ['other', 0];
  return shape !== 'other' && count >= ONE_LOOK * cells.length ? shape : null;
}

function mayBeTimesOfDay(times: readonly number[], length: RaceLength): boolean {
  const fastest = Math.min(...times);
  return fastest >= EARLIEST_ARRIVAL && Math.max(...times) < DAY && !isPossibleField([fastest], length);
}

/**
 * Whether one cell stands out of a column of one look, is impossible as it stands and possible in another form: it was
 * then written otherwise than its column. Its runner is not taken.
 */
export function isStray(text: string, seconds: number, look: TimeShape | null, length: RaceLength | null): boolean {
  if (look === null || length === null || isPossible(seconds, length)) return false;
  const shape = timeShape(text.trim());
  if (shape === look) return false;
  return OTHER_FORMS[shape].some((form) => {
    const other = timeIn(form, text);
    return other.kind === 'time' && isPossible(other.seconds, length);
  });
}
