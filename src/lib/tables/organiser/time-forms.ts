import { finishOf, type FinishCell } from './finish-of.ts';

/** How a column writes its times. `clock`: h:mm:ss, m:ss or seconds, each cell as it stands. */
export const TIME_FORMS = [
  'clock',
  'h:mm',
  'h:mm.ss',
  'm:ss:cc',
  'm.ss',
  'minutes',
  'hmmss',
  'days',
  'time-of-day',
] as const;
export type TimeForm = (typeof TIME_FORMS)[number];

export const TIME_FORM_WORDS: Record<TimeForm, string> = {
  clock: 'h:mm:ss, m:ss or seconds',
  'h:mm': 'hours and minutes',
  'h:mm.ss': 'hours and minutes, seconds behind a point',
  'm:ss:cc': 'minutes, seconds and hundredths',
  'm.ss': 'minutes and seconds with a point',
  minutes: 'minutes with decimals',
  hmmss: 'digits without colons',
  days: 'parts of a day, as a spreadsheet keeps times',
  'time-of-day': 'times of day',
};

/** A time of day by the clock of twelve hours: `1:07:40 PM`, `11:05 a.m.` */
const TWELVE_HOURS = /^(0?[1-9]|1[0-2]):([0-5]\d)(?::([0-5]\d(?:[.,]\d+)?))?\s*([ap])\.?\s?m\.?$/i;

/** The look of a cell: what kind of numbers stand in it, whatever they mean. */
export type TimeShape = 'a:b' | 'a:b:c' | 'a:b.c' | 'a.b' | 'whole' | 'twelve hours' | 'other';

const SHAPES: readonly (readonly [RegExp, TimeShape])[] = [
  [/^\d+:\d\d$/, 'a:b'],
  [/^\d+:\d\d:\d\d$/, 'a:b:c'],
  [/^\d+:\d\d[.,]\d\d$/, 'a:b.c'],
  [/^\d+[.,]\d+$/, 'a.b'],
  [/^\d+$/, 'whole'],
  [TWELVE_HOURS, 'twelve hours'],
];

export function timeShape(cell: string): TimeShape {
  return SHAPES.find(([pattern]) => pattern.test(cell))?.[1] ?? 'other';
}

/** Readings to think of when a column of this look makes no possible times as it stands. */
export const OTHER_FORMS: Record<TimeShape, readonly TimeForm[]> = {
  'a:b': ['h:mm'],
  'a:b:c': ['m:ss:cc', 'time-of-day'],
  'a:b.c': ['h:mm.ss'],
  'a.b': ['days', 'm.ss', 'minutes'],
  whole: ['hmmss', 'minutes'],
  'twelve hours': ['time-of-day'],
  other: [],
};

const DAY = 86_400;
const timeOf = (seconds: number): FinishCell =>
  seconds > 0 && Number.isFinite(seconds) ? { kind: 'time', seconds, form: 'other format' } : { kind: 'fault' };
const hundredths = (seconds: number): number => Math.round(seconds * 100) / 100;

/** Patterns that a form reads in its own way, with the seconds they stand for; every other cell is read as it stands. */
const OWN_WAY: Partial<Record<TimeForm, readonly [RegExp, (parts: number[]) => number]>> = {
  'h:mm': [/^(\d+):([0-5]\d)$/, ([h = 0, m = 0]) => h * 3600 + m * 60],
  'h:mm.ss': [/^(\d+):([0-5]\d)[.,]([0-5]\d)$/, ([h = 0, m = 0, s = 0]) => h * 3600 + m * 60 + s],
  'm:ss:cc': [/^(\d+):([0-5]\d):(\d\d)$/, ([m = 0, s = 0, c = 0]) => m * 60 + s + c / 100],
  'm.ss': [/^(\d+)[.,]([0-5]\d)$/, ([m = 0, s = 0]) => m * 60 + s],
  hmmss: [/^(\d*?)(\d?[0-9]?)([0-5]\d)$/, ([h = 0, m = 0, s = 0]) => (m < 60 ? h * 3600 + m * 60 + s : NaN)],
};

/**
 * Reads a cell of a time column in the form its column has. Words such as DNF, dashes and empty cells are read as they
 * always are.
 *
 * @param startOfDay seconds from midnight to the start, for times of day; without it these are faults
 */
export function timeIn(form: TimeForm, cell: string, startOfDay: number | null = null): FinishCell {
  const text = cell.trim();
  const own = OWN_WAY[form];
  const match = own?.[0].exec(text);
  if (own && match) return timeOf(own[1](match.slice(1).map(Number)));
  if ((form === 'days' || form === 'minutes') && /^\d+(?:[.,]\d+)?$/.test(text)) {
    return timeOf(hundredths(Number(text.replace(',', '.')) * (form === 'days' ? DAY : 60)));
  }
  const read = form === 'time-of-day' ? timeOfDay(text) : finishOf(text);
  if (form !== 'time-of-day' || read.kind !== 'time') return read;
  if (startOfDay === null) return { kind: 'fault' };
  return timeOf((read.seconds - startOfDay + DAY) % DAY);
}

/** Seconds from midnight, by either clock. */
function timeOfDay(text: string): FinishCell {
  const twelve = TWELVE_HOURS.exec(text);
  if (!twelve) return finishOf(text);
  const [, h = '0', m = '0', s = '0', half = ''] = twelve;
  const hours = (Number(h) % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  return timeOf(hours * 3600 + Number(m) * 60 + Number(s.replace(',', '.')));
}
