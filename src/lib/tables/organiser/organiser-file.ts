import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import type { ResultRow, StartListRow } from '../../race/race.ts';
import { csvRows } from '../csv/csv-rows.ts';
import { decodeBytes, type DecodedText, type Encoding } from '../csv/decode-bytes.ts';
import { findLayout, type Delimiter, type Layout } from '../csv/find-layout.ts';
import { HEADINGS, plainHeading, type OrganiserField } from './organiser-headings.ts';
import type { TimeQuestion } from './judge-times.ts';
import { isBlank, OrganiserReading, quoted, SAMPLE_ROWS } from './organiser-reading.ts';
import type { RemarkCounter } from '../csv/remark-counter.ts';
import { writingOf, type RaceKnown } from './results-writing.ts';
import type { SexWriting } from './sex-codes.ts';
import type { TableFault } from '../csv/table-fault.ts';
import type { TimeForm } from './time-forms.ts';
import { questionFault } from './time-question-words.ts';

/** The two kinds of file that organisers give. */
export type OrganiserKind = 'startlist' | 'results';
export interface OrganiserRows {
  startlist: StartListRow;
  results: ResultRow;
}

/** What each kind of list can tell, in the order in which columns are chosen. */
export const ORGANISER_FIELDS = {
  startlist: ['bib', 'runner', 'firstName', 'lastName', 'name', 'sex', 'age', 'born', 'team', 'start'],
  results: ['bib', 'runner', 'finish', 'sex', 'age', 'born', 'status'],
} as const satisfies Record<OrganiserKind, readonly OrganiserField[]>;
export const REQUIRED_FIELDS = {
  startlist: ['bib'],
  results: ['bib', 'finish'],
} as const satisfies Record<OrganiserKind, readonly OrganiserField[]>;

export interface OrganiserOptions {
  /** Columns chosen by a person: an index from 0, the heading as written in the file, or `null` for "not in this file". */
  columns?: Partial<Record<OrganiserField, number | string | null>>;
  delimiter?: Delimiter;
  /** The row of the headings counted from 1, or 0 when the file has none. */
  headingRow?: number;
  /** Turns a wall-clock start (`9:40`, `09:40:30`) into an instant; without it a start must carry its date and offset. */
  startOfWallClock?: (text: string) => string | null;
  /** What is known of the race: lets times be judged and ages be counted. */
  known?: RaceKnown;
  /** How the times are written, as a person says. */
  times?: TimeForm;
  /** Ways in which the list writes a sex, with what a person wants kept: empty for nothing, the latest choice counts. */
  sexes?: readonly (readonly [found: string, kept: string])[];
}

/** How the file was understood: shown as a preview, and what a person can change. */
export interface OrganiserLayout extends Layout<OrganiserField> {
  encoding: Encoding;
  /** The first rows below the headings, as they stand. */
  sample: string[][];
}

export interface OrganiserTable<Kind extends OrganiserKind> {
  kind: Kind;
  /** The faultless rows in the order of the file; of a bib that is there twice the first. */
  rows: OrganiserRows[Kind][];
  faults: TableFault[];
  /** All faults; `faults` has the first hundred. */
  faultCount: number;
  /** How many rows have faults and are not among `rows`. */
  faultyRows: number;
  /** Sentences on what was converted, skipped or left out. */
  said: string[];
  /** The ways in which the list writes a sex, the most frequent first, and what is kept of each. */
  sexes: readonly SexWriting[];
  /** Whether the file is not to be used as it was read: no rows, a bib twice, too many faulty rows, or a question open. */
  refused: boolean;
  /** What a person has to say of the times before they can be read. */
  question: TimeQuestion | null;
  layout: OrganiserLayout | null;
}

function layoutFaults(kind: OrganiserKind, layout: Layout<OrganiserField>, options: OrganiserOptions): TableFault[] {
  const faults: TableFault[] = [];
  const listed = layout.headings.filter(Boolean).map(quoted).join(', ');
  for (const [field, wanted] of Object.entries(options.columns ?? {})) {
    if (typeof wanted === 'string' && layout.columns[field as OrganiserField] === null) {
      faults.push({
        column: field,
        found: wanted,
        expected: `is not a heading of the file; its headings are ${listed}`,
      });
    }
  }
  for (const field of REQUIRED_FIELDS[kind]) {
    if (layout.columns[field] !== null || faults.some((fault) => fault.column === field)) continue;
    const usual = HEADINGS[field].slice(0, 3).map(quoted).join(', ');
    faults.push({
      row: layout.headingRow || 1,
      column: field,
      expected: `not found: expected a heading such as ${usual}; the headings are ${listed || 'empty'}`,
    });
  }
  return faults;
}

function chosenLayout(kind: OrganiserKind, decoded: DecodedText, options: OrganiserOptions): Layout<OrganiserField> {
  const fields: readonly OrganiserField[] = ORGANISER_FIELDS[kind];
  const layout = findLayout<OrganiserField>(decoded.text, fields, REQUIRED_FIELDS[kind], options);
  const chosen = Object.entries(options.columns ?? {}) as [OrganiserField, number | string | null][];
  for (const [field, wanted] of chosen) {
    const exact = layout.headings.findIndex((heading) => heading === wanted);
    const index =
      typeof wanted === 'string'
        ? exact >= 0
          ? exact
          : layout.headings.findIndex((heading) => plainHeading(heading) === plainHeading(wanted))
        : wanted;
    // A column chosen for one field is free no longer for another that was merely recognised.
    for (const other of fields) {
      if (other !== field && options.columns?.[other] === undefined && layout.columns[other] === index) {
        layout.columns[other] = null;
      }
    }
    layout.columns[field] = index === -1 ? null : index;
  }
  return layout;
}

function sayHowRead(layout: Layout<OrganiserField>, decoded: DecodedText, remarks: RemarkCounter): void {
  if (decoded.encoding !== 'UTF-8') remarks.say(`The file is in ${decoded.encoding}; its letters were converted.`);
  if (decoded.brokenCharacters > 0) {
    remarks.say(`${decoded.brokenCharacters} damaged characters are shown as \ufffd.`);
  }
  if (layout.headingRow === 0) remarks.say('The file has no headings.');
}

/** Digits and the marks between them as wide as a CJK letter, as some programs write them. */
const FULL_WIDTH = /[\uff10-\uff19\uff1a\uff0e\uff0f\uff0d]/g;

/** The text of a list, with full-width digits as any others. */
function decodeList(bytes: Uint8Array): ReturnType<typeof decodeBytes> {
  const decoded = decodeBytes(bytes);
  if (!decoded.ok) return decoded;
  const text = decoded.value.text.replace(FULL_WIDTH, (wide) => String.fromCharCode(wide.charCodeAt(0) - 0xfee0));
  return succeeded({ ...decoded.value, text });
}

/**
 * Reads a start list or results as an organiser exports it, step by step: each step yields the share read (0 to 1), and
 * the last returns the table. The caller may show progress and breathe between steps, or stop by asking for no more.
 */
export function* organiserSteps<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions = {},
): Generator<number, OrganiserTable<Kind>> {
  const empty = (fault: TableFault): OrganiserTable<Kind> => ({
    kind,
    rows: [],
    faults: [fault],
    faultCount: 1,
    faultyRows: 0,
    said: [],
    sexes: [],
    refused: true,
    question: null,
    layout: null,
  });
  const decoded = decodeList(bytes);
  if (!decoded.ok) return empty({ expected: `the file is ${decoded.error.looksLike}` });
  if (decoded.value.text.trim() === '') return empty({ expected: 'the file is empty; expected a row of headings' });
  const layout = chosenLayout(kind, decoded.value, options);
  const missing = layoutFaults(kind, layout, options);
  const writing = writingOf(decoded.value.text, layout, {
    finishChosen: options.columns?.finish !== undefined,
    ...(options.known ? { known: options.known } : {}),
    ...(options.times ? { times: options.times } : {}),
  });
  const reading = new OrganiserReading(kind, layout, writing, options.startOfWallClock, new Map(options.sexes));
  sayHowRead(layout, decoded.value, reading.remarks);
  if (writing.question) missing.push(questionFault(writing.question));
  for (const fault of missing) reading.faults.add(fault);
  // Once columns are missing every row would be at fault too; a few rows serve the preview.
  const { text } = decoded.value;
  let unclosedQuote = false;
  for (const batch of csvRows(text, layout.delimiter)) {
    if (missing.length > 0) {
      const start = layout.headingRow;
      reading.sample.push(
        ...batch.rows
          .slice(start)
          .filter((row) => !isBlank(row))
          .slice(0, SAMPLE_ROWS),
      );
      break;
    }
    for (const cells of batch.rows) reading.take(cells);
    unclosedQuote = batch.unclosedQuote;
    yield batch.readTo / text.length;
  }
  if (missing.length === 0) reading.finish(unclosedQuote);
  const table: OrganiserTable<Kind> = {
    kind,
    rows: [...reading.rows],
    faults: reading.faults.kept,
    faultCount: reading.faults.count,
    faultyRows: reading.faultyRows,
    said: reading.remarks.sentences(),
    sexes: reading.sexes,
    refused: missing.length > 0 || unclosedQuote || (reading.faultyRows > 0 && reading.refused),
    question: writing.question,
    layout: { ...layout, encoding: decoded.value.encoding, sample: reading.sample },
  };
  if (missing.length === 0 && table.rows.length === 0 && table.faultCount === 0) {
    table.said.push('There is no runner below the headings.');
  }
  return table;
}

/** The whole of `organiserSteps` at once, for places without a screen. */
export function readOrganiserFile<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions = {},
): OrganiserTable<Kind> {
  const steps = organiserSteps(bytes, kind, options);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

export interface ReadingPace {
  /** Told the share read, 0 to 1. */
  onProgress?: (share: number) => void;
  /** Whether to stop; asked between two steps. */
  stopped?: () => boolean;
  /** Lets the screen draw and taps arrive. */
  breathe: () => Promise<void>;
}

/** `organiserSteps` at the pace of a screen. Stopped on demand, it fails with `stopped` and keeps nothing. */
export async function readOrganiserFileInSteps<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions,
  pace: ReadingPace,
): Promise<Attempt<OrganiserTable<Kind>, { type: 'stopped' }>> {
  const steps = organiserSteps(bytes, kind, options);
  let step = steps.next();
  while (!step.done) {
    pace.onProgress?.(step.value);
    await pace.breathe();
    if (pace.stopped?.()) return failed({ type: 'stopped' });
    step = steps.next();
  }
  return succeeded(step.value);
}
