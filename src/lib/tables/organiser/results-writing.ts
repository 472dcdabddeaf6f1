import { dayOrder } from './birth.ts';
import { columnCells, type ColumnCells } from '../csv/column-cells.ts';
import type { Layout } from '../csv/find-layout.ts';
import { finishOf } from './finish-of.ts';
import { commonLook, judgeTimes, type TimeQuestion, type TimeVerdict } from './judge-times.ts';
import { clockOfHeading, columnsFor, type OrganiserField } from './organiser-headings.ts';
import { isPossible, type RaceLength } from './pace-limits.ts';
import type { BirthReading } from '../csv/row-cells.ts';
import type { TimeWriting } from './result-row-reader.ts';
import type { TimeForm } from './time-forms.ts';

/** What is known of the race to which a list belongs. */
export interface RaceKnown {
  /** How far it goes; without it times are taken as they stand. */
  readonly length?: RaceLength | null;
  /** Its day, such as `2026-10-04`; without it no age is made of a year of birth. */
  readonly raceDate?: string | null;
  /** Seconds from midnight to the start, where the race is. */
  readonly startOfDay?: number | null;
  /** The clock its finish times are to count from. */
  readonly finishClock?: 'gun' | 'net' | null;
}

export interface WritingOptions {
  readonly known?: RaceKnown;
  /** How a person says that the times are written. */
  readonly times?: TimeForm;
  /** Whether a person has chosen the column of the finish. */
  readonly finishChosen: boolean;
}

export interface ListWriting {
  readonly times: TimeWriting;
  readonly birth: BirthReading | null;
  readonly question: TimeQuestion | null;
  readonly said: readonly string[];
}

/**
 * How a list is written: which of its time columns holds finish times that a field can have run, in which form, and how its
 * births are. Sets the columns of `layout` accordingly.
 */
export function writingOf(text: string, layout: Layout<OrganiserField>, options: WritingOptions): ListWriting {
  const { known = {} } = options;
  const said: string[] = [];
  const birth = birthReading(text, layout, known.raceDate ?? null, said);
  const finish = finishReading(text, layout, options, said);
  return { ...finish, birth, said };
}

function birthReading(
  text: string,
  layout: Layout<OrganiserField>,
  raceDate: string | null,
  said: string[],
): BirthReading | null {
  const { age, born } = layout.columns;
  const cells = columnCells(
    text,
    layout.delimiter,
    layout.headingRow,
    isColumn(age) ? [age] : isColumn(born) ? [born] : [],
  );
  const [first] = cells.values();
  if (isColumn(age) && first && mostly(first, (text) => YEAR.test(text))) {
    said.push(`${headingOf(layout, age)} holds years of birth.`);
    layout.columns = { ...layout.columns, age: null, born: age };
  }
  if (isColumn(age) && first && layout.columns.age === age && mostly(first, (text) => !AGE.test(text))) {
    said.push(`${headingOf(layout, age)} holds no ages in years and was not read.`);
    layout.columns = { ...layout.columns, age: null };
  }
  const heading = headingOf(layout, layout.columns.born);
  if (!isColumn(layout.columns.born) || isColumn(layout.columns.age)) return null;
  if (raceDate === null) {
    said.push(`${heading} was not read: the day of the race, which an age needs, is not known.`);
    return null;
  }
  return { order: dayOrder((first ?? []).map((cell) => cell.text)), raceDate };
}

const isColumn = (column: number | null | undefined): column is number => typeof column === 'number';

const headingOf = (layout: Layout<OrganiserField>, column: number | null | undefined): string =>
  `"${isColumn(column) ? (layout.headings[column] ?? '') : ''}"`;

const AGE = /^\d{1,3}(?:[.,]\d+)?$/;
const YEAR = /^(?:19|20)\d\d(?:\.0+)?$/;
const mostly = (cells: ColumnCells, is: (text: string) => boolean): boolean =>
  cells.length > 0 && cells.filter(({ text }) => is(text)).length > cells.length / 2;

interface Candidate {
  readonly column: number;
  readonly heading: string;
  readonly cells: ColumnCells;
  readonly verdict: TimeVerdict;
}

function finishReading(
  text: string,
  layout: Layout<OrganiserField>,
  { known = {}, times, finishChosen }: WritingOptions,
  said: string[],
): { times: TimeWriting; question: TimeQuestion | null } {
  const { length = null, startOfDay = null, finishClock = null } = known;
  const asItStands: TimeWriting = { form: times ?? 'clock', startOfDay, look: null, length, course: length };
  const first = layout.columns.finish;
  if (!isColumn(first)) return { times: asItStands, question: null };
  const taken = new Set(
    Object.entries(layout.columns).flatMap(([field, column]) =>
      field !== 'finish' && isColumn(column) ? [column] : [],
    ),
  );
  const columns = finishChosen
    ? [first]
    : [first, ...columnsFor(layout.headings, 'finish').filter((column) => column !== first && !taken.has(column))];
  const cells = columnCells(text, layout.delimiter, layout.headingRow, columns);
  const candidates = columns.map((column): Candidate => {
    const heading = layout.headings[column] ?? '';
    const own = cells.get(column) ?? [];
    const judged = length !== null && times === undefined;
    return {
      column,
      heading,
      cells: own,
      verdict: judged ? judgeTimes(heading, own, length, startOfDay) : readable(own),
    };
  });
  const chosen = choose(candidates, finishClock);
  layout.columns = { ...layout.columns, finish: chosen.column };
  sayWhy(candidates, chosen, said);
  sayWhoElseHasOne(candidates, chosen, said);
  const look = commonLook(chosen.cells.map((cell) => cell.text).filter((cell) => /\d/.test(cell)));
  const possible = chosen.verdict.kind === 'possible';
  // Times that are impossible one by one are counted where they are read; these are too slow as a field.
  if (chosen.verdict.kind === 'impossible' && length && everyPossible(chosen.cells, length)) {
    said.push(`The times in ${quoted(chosen.heading)} are no times for this distance: is it the right race?`);
  }
  return {
    times: { ...asItStands, look, length: possible ? length : null },
    question: chosen.verdict.kind === 'question' ? chosen.verdict.question : null,
  };
}

const everyPossible = (cells: ColumnCells, length: RaceLength): boolean =>
  cells.every(({ text }) => {
    const cell = finishOf(text);
    return cell.kind !== 'time' || isPossible(cell.seconds, length);
  });

const readable = (cells: ColumnCells): TimeVerdict => ({ kind: cells.length > 0 ? 'possible' : 'unreadable' });

/** The first column of possible times, by the race's clock if it says which; else the first at all. */
function choose(candidates: readonly Candidate[], finishClock: 'gun' | 'net' | null): Candidate {
  const possible = candidates.filter(({ verdict }) => verdict.kind === 'possible');
  const wanted = finishClock && possible.find(({ heading }) => clockOfHeading(heading) === finishClock);
  const asked = candidates.find(({ verdict }) => verdict.kind === 'question');
  return wanted || possible[0] || asked || candidates[0]!;
}

const CLOCK_WORDS = { gun: 'gun times', net: 'net times, from when each runner crossed the start line' } as const;
const quoted = (heading: string): string => `"${heading}"`;

/** Which column was taken where there are several, and why. */
function sayWhy(candidates: readonly Candidate[], chosen: Candidate, said: string[]): void {
  const others = candidates.filter((candidate) => candidate !== chosen && candidate.cells.length > 0);
  if (others.length === 0) return;
  const clock = clockOfHeading(chosen.heading);
  const reasons = others.map(({ heading, verdict, cells }) =>
    verdict.kind === 'possible'
      ? `${quoted(heading)} was not taken${clockOfHeading(heading) ? ` (${CLOCK_WORDS[clockOfHeading(heading)!]})` : ''}`
      : `${quoted(heading)} holds no finish times (${cells[0]?.text ?? ''})`,
  );
  said.push(
    `Finish times are from ${quoted(chosen.heading)}${clock ? ` (${CLOCK_WORDS[clock]})` : ''}; ${reasons.join('; ')}.`,
  );
}

/** Runners with a time in another column of finish times, and none in the chosen one: they did finish. */
function sayWhoElseHasOne(candidates: readonly Candidate[], chosen: Candidate, said: string[]): void {
  const timed = ({ cells }: Candidate): number[] =>
    cells.filter(({ text }) => finishOf(text).kind === 'time').map(({ row }) => row);
  const own = new Set(timed(chosen));
  for (const other of candidates) {
    if (other === chosen || other.verdict.kind !== 'possible') continue;
    const rows = timed(other).filter((row) => !own.has(row));
    if (rows.length === 0) continue;
    const where =
      rows.length === 1 ? `row ${rows[0]}` : `rows ${rows.slice(0, 5).join(', ')}${rows.length > 5 ? ', …' : ''}`;
    const who = rows.length === 1 ? '1 runner has' : `${rows.length} runners have`;
    said.push(
      `${who} a time in ${quoted(other.heading)} and none in ${quoted(chosen.heading)}: read without a finish (${where}).`,
    );
  }
}
