import { strFromU8, unzipSync } from 'fflate';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import { csvLine } from '../csv/csv-line.ts';

/** A sheet of a workbook as delimited text, for the reader of lists. */
export interface WorkbookText {
  /** Cells as a person sees them, comma-delimited: dates `2026-10-04`, times and durations `h:mm:ss`. */
  readonly text: string;
  readonly sheet: string;
  readonly sheets: readonly string[];
}

export type NoWorkbook =
  | { readonly type: 'unreadable' }
  /** Unpacked it would take more memory than any list needs. */
  | { readonly type: 'too-large' }
  | { readonly type: 'no-such-sheet'; readonly sheets: readonly string[] };

/** Unpacked sheets of a field of a million runners are a third of this. */
const MOST_BYTES = 600e6;

/** Whether the bytes are a zip archive, as an `.xlsx` workbook is. */
export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;
}

/**
 * Reads a sheet of an `.xlsx` workbook: of formulas the values that were stored. The library that knows the format is
 * loaded only here.
 *
 * @param sheet its name, or its number from 1; by default the first that is not empty
 */
export async function workbookText(
  bytes: Uint8Array,
  sheet?: string | number,
): Promise<Attempt<WorkbookText, NoWorkbook>> {
  if (unpackedSize(bytes) > MOST_BYTES) return failed({ type: 'too-large' });
  const { default: readWorkbook } = await import('read-excel-file/universal');
  let sheets: readonly Sheet[];
  try {
    sheets = await readWorkbook(bytes.slice().buffer, { trim: false });
  } catch {
    return failed({ type: 'unreadable' });
  }
  const names = sheets.map((one) => one.sheet);
  const wanted =
    sheet === undefined
      ? (sheets.find((one) => one.data.length > 0) ?? sheets[0])
      : (sheets.find((one) => one.sheet === String(sheet)) ?? sheets[Number(sheet) - 1]);
  if (!wanted) return failed({ type: 'no-such-sheet', sheets: names });
  const day0 = countsFrom1904(bytes) ? DAY_0_OF_1904 : DAY_0;
  const text = wanted.data.map((row) => csvLine(row.map((cell) => cellText(cell, day0)))).join('');
  return succeeded({ text, sheet: wanted.sheet, sheets: names });
}

interface Sheet {
  readonly sheet: string;
  readonly data: readonly (readonly unknown[])[];
}

/** What the archive says it unpacks to; nothing is unpacked for it. */
function unpackedSize(bytes: Uint8Array): number {
  let size = 0;
  try {
    unzipSync(bytes, {
      filter: ({ originalSize }) => {
        size += originalSize;
        return false;
      },
    });
  } catch {
    return 0;
  }
  return size;
}

/** Whether the days of a workbook are counted from 1904: the library knows it, but hands on dates alone. */
function countsFrom1904(bytes: Uint8Array): boolean {
  try {
    const { 'xl/workbook.xml': workbook } = unzipSync(bytes, { filter: ({ name }) => name === 'xl/workbook.xml' });
    return workbook !== undefined && /<(?:\w+:)?workbookPr\b[^>]*\bdate1904="(?:1|true)"/.test(strFromU8(workbook));
  } catch {
    return false;
  }
}

function cellText(cell: unknown, day0: number): string {
  if (cell instanceof Date) return dateText(cell, day0);
  if (typeof cell === 'number') return String(cell);
  if (typeof cell === 'string') return cell;
  return typeof cell === 'boolean' ? String(cell) : '';
}

/** Day 0 of a workbook's calendar, and of the other one that some have kept from old days. */
const DAY_0 = Date.UTC(1899, 11, 30);
const DAY_0_OF_1904 = Date.UTC(1904, 0, 1);
const DAY = 86_400_000;
/** Days above this are dates (from 1910 on); below they are durations. */
const FIRST_DATE = 3660;
const two = (n: number): string => String(n).padStart(2, '0');

/** A date, a date with its time, or a duration of however many hours; to a hundredth of a second, as numbers of days keep it. */
function dateText(date: Date, day0: number): string {
  const ms = Math.round((date.getTime() - day0) / 10) * 10;
  if (!Number.isFinite(ms)) return '';
  const days = Math.floor(ms / DAY);
  const dated = days >= FIRST_DATE;
  const rest = dated ? ms - days * DAY : ms;
  const day = dated ? new Date(day0 + days * DAY).toISOString().slice(0, 10) : '';
  if (dated && rest === 0) return day;
  const seconds = rest / 1000;
  const hundredths = Math.round(rest / 10) % 100;
  const clock = `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(Math.floor(seconds) % 60)}`;
  return `${day}${dated ? ' ' : ''}${clock}${hundredths > 0 ? `.${two(hundredths)}` : ''}`;
}

/** Why a workbook was not read, as the end of a sentence that begins with the file's name. */
export function noWorkbookWords(failure: NoWorkbook): string {
  switch (failure.type) {
    case 'unreadable':
      return 'is no workbook that can be read; save the sheet as CSV';
    case 'too-large':
      return 'unpacks to more than any list needs; save the sheet as CSV';
    case 'no-such-sheet':
      return `has no such sheet; its sheets are ${failure.sheets.map((name) => `"${name}"`).join(', ')}`;
  }
}
