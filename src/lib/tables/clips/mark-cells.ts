import { NEARNESSES, type Nearness, type PicturePoint } from '../../clips/passage.ts';
import { GAITS, type Gait } from '../../records/foot.ts';
import {
  MARK_EVENTS,
  POINT_NAMES,
  SIDES,
  TIMINGS,
  type MarkEvent,
  type PointName,
  type Side,
  type Timing,
} from '../../records/mark-words.ts';
import { UNPRINTABLE } from '../../records/unprintable.ts';
import type { FaultList } from '../csv/fault-list.ts';
import { instantOfBytes } from '../csv/instant-of-bytes.ts';
import type { MarksColumn } from './marks-columns.ts';
import { unguardCell } from '../csv/spreadsheet-guard.ts';
import type { TableRow } from '../csv/table-rows.ts';

export type MarkTableColumn = MarksColumn | 'frames';

/** One row of a marks table, each cell understood. Rows of one passage and of one clip are not yet held together. */
export interface MarkRow {
  readonly row: number;
  readonly id: string;
  readonly race: string;
  readonly checkpoint: string;
  readonly km: number;
  readonly clip: string;
  readonly passage: string;
  readonly sightingId: string | null;
  readonly bib: string | null;
  readonly gait: Gait;
  readonly observer: string;
  readonly direction: Side;
  readonly foot: Side;
  readonly nearness: Nearness;
  readonly event: MarkEvent;
  readonly frame: number;
  readonly recordedUs: number;
  /** Seconds; as written, whatever the timing. */
  readonly gap: number;
  readonly fpsRecorded: number;
  readonly timing: Timing;
  readonly width: number;
  readonly height: number;
  readonly levelDegrees: number;
  readonly lensOffDegrees: number;
  readonly points: Readonly<Partial<Record<PointName, PicturePoint>>>;
  readonly doubtful: boolean;
  readonly madeAtMs: number;
  readonly note: string;
}

const ENCODER = new TextEncoder();

/** Reads the cells of one row; faults name the row and the column, and the row is then of no use. */
export class MarkCells {
  readonly #row: TableRow<MarkTableColumn>;
  readonly #faults: FaultList;

  constructor(row: TableRow<MarkTableColumn>, faults: FaultList) {
    this.#row = row;
    this.#faults = faults;
  }

  fault(column: MarkTableColumn, expected: string): void {
    const { row } = this.#row;
    const found = this.#row.cell(column);
    this.#faults.addLater(() => ({ row, column, ...(found === '' ? {} : { found }), expected }));
  }

  /** Free text without the apostrophe that guards it. */
  text(column: MarkTableColumn): string {
    return unguardCell(this.#row.cell(column));
  }

  name(column: MarkTableColumn): string {
    const text = this.text(column);
    if (text.trim() === '') this.fault(column, 'is empty');
    else if (UNPRINTABLE.test(text)) this.fault(column, 'has a control character');
    return text;
  }

  bib(): string | null {
    const text = this.text('bib').trim();
    if (UNPRINTABLE.test(text)) this.fault('bib', 'has a control character');
    return text === '' ? null : text;
  }

  /** One of a few words; an empty cell is `without` where there is such a word. */
  word<Word extends string>(column: MarkTableColumn, words: readonly Word[], without?: Word): Word {
    const text = this.#row.cell(column);
    if (text === '' && without !== undefined) return without;
    const found = words.find((word) => word === text);
    if (found === undefined) this.fault(column, `is not one of ${words.join(', ')}`);
    return found ?? words[0]!;
  }

  number(column: MarkTableColumn, form: RegExp, fits: (value: number) => boolean, expected: string): number {
    const text = unguardCell(this.#row.cell(column));
    const value = form.test(text) ? Number(text) : Number.NaN;
    if (fits(value)) return value;
    this.fault(column, expected);
    return 0;
  }

  /** 0 for an empty cell. */
  optionalNumber(column: MarkTableColumn, form: RegExp, fits: (value: number) => boolean, expected: string): number {
    return this.#row.cell(column) === '' ? 0 : this.number(column, form, fits, expected);
  }

  instant(column: MarkTableColumn): number {
    const bytes = ENCODER.encode(this.#row.cell(column));
    const ms = instantOfBytes(bytes, 0, bytes.length);
    if (!Number.isNaN(ms)) return ms;
    this.fault(column, 'is not a date and time with offset, such as 2026-10-04T09:30:05+02:00');
    return 0;
  }

  /** The points that an event may have, in tenths of a pixel, all within the picture. */
  points(event: MarkEvent, width: number, height: number): Partial<Record<PointName, PicturePoint>> {
    const points: Partial<Record<PointName, PicturePoint>> = {};
    for (const name of POINT_NAMES) {
      const [xColumn, yColumn] = [`${name}_x`, `${name}_y`] as const;
      const [x, y] = [this.#tenths(xColumn, width), this.#tenths(yColumn, height)];
      if (x === null && y === null) continue;
      if (x === null || y === null) this.fault(x === null ? xColumn : yColumn, `is empty: expected both of ${name}`);
      else points[name] = { x, y };
    }
    this.#checkPairs(points, event);
    return points;
  }

  #tenths(column: MarksColumn, most: number): number | null {
    const text = this.#row.cell(column);
    if (text === '') return null;
    const tenths = /^\d+(?:\.\d)?$/.test(text) ? Math.round(Number(text) * 10) : Number.NaN;
    if (tenths >= 0 && tenths <= most * 10) return tenths;
    this.fault(column, `is not a place in the picture: 0 to ${most}, at most one decimal`);
    return null;
  }

  #checkPairs(points: Partial<Record<PointName, PicturePoint>>, event: MarkEvent): void {
    for (const [one, other] of [
      ['heel', 'toe'],
      ['toe', 'heel'],
      ['knee', 'ankle'],
      ['ankle', 'knee'],
      ['touch', 'heel'],
    ] as const) {
      if (points[one] && !points[other]) this.fault(`${one}_x`, `stands without ${other}`);
    }
    for (const name of POINT_NAMES) {
      if (!points[name] || event === 'contact' || (event === 'flat' && (name === 'heel' || name === 'toe'))) continue;
      this.fault(`${name}_x`, `is there, but a ${event} has no ${name}`);
    }
  }
}

const WHOLE = /^\d{1,6}$/;
const PLAIN = /^\d+(?:\.\d+)?$/;
const SECONDS = /^\d+(?:\.\d{1,6})?$/;
const SIGNED = /^-?\d+(?:\.\d+)?$/;

/** Understands one row; `null` when something in it is at fault. */
export function readMarkRow(row: TableRow<MarkTableColumn>, faults: FaultList, hasFrames: boolean): MarkRow | null {
  const before = faults.count;
  const cells = new MarkCells(row, faults);
  const direction = cells.word('direction', SIDES);
  const foot = cells.word('foot', SIDES);
  const event = cells.word('event', MARK_EVENTS);
  const frame = cells.number('frame', WHOLE, (value) => value <= 999_999, 'is not a whole number from 0 to 999999');
  const size = (column: 'width' | 'height') =>
    cells.number(column, /^\d+$/, (value) => value >= 16 && value <= 8192, 'is not a whole number from 16 to 8192');
  const [width, height] = [size('width'), size('height')];
  const read: MarkRow = {
    row: row.row,
    id: cells.name('record_id'),
    race: cells.name('race'),
    checkpoint: cells.name('checkpoint'),
    km: cells.number('km', PLAIN, Number.isFinite, 'is not a distance in km of 0 or more, such as 5 or 17.25'),
    clip: cells.name('clip'),
    passage: cells.name('passage'),
    sightingId: cells.text('sighting_id') || null,
    bib: cells.bib(),
    gait: cells.word('gait', GAITS, 'run'),
    observer: cells.name('observer'),
    ...{ direction, foot, event, frame, width, height },
    nearness: cells.word('side', NEARNESSES, foot === direction ? 'near' : 'far'),
    recordedUs: Math.round(
      1e6 * cells.number('at_s', SECONDS, (value) => value >= 0, 'is not seconds of 0 or more with at most 6 decimals'),
    ),
    gap: cells.number('gap_s', SECONDS, (value) => value > 0, 'is not seconds above 0 with at most 6 decimals'),
    fpsRecorded: cells.number(
      'fps_recorded',
      PLAIN,
      (value) => value >= 20 && value <= 1000,
      'is not a rate from 20 to 1000 frames a second',
    ),
    timing: cells.word('timing', TIMINGS),
    levelDegrees: cells.optionalNumber(
      'level_deg',
      SIGNED,
      (value) => Math.abs(value) < 90,
      'is not an angle between -90 and 90 degrees',
    ),
    lensOffDegrees: cells.optionalNumber(
      'lens_off',
      PLAIN,
      (value) => value <= 45,
      'is not an angle from 0 to 45 degrees',
    ),
    points: cells.points(event, width, height),
    doubtful: cells.text('doubtful') === 'true',
    madeAtMs: cells.instant('made_at'),
    note: cells.text('note'),
  };
  if (!['', 'true'].includes(cells.text('doubtful'))) cells.fault('doubtful', 'is neither true nor empty');
  if (hasFrames) {
    const frames = cells.number('frames', /^\d+$/, Number.isFinite, 'is not a whole number');
    if (frame >= frames) cells.fault('frame', `is beyond the clip of ${frames} frames`);
  }
  return faults.count > before ? null : read;
}
