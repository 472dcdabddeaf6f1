/** What a cell of a birth column says: a year, or a whole date where day and month are known for sure. */
export interface Birth {
  readonly year: number;
  readonly month?: number;
  readonly day?: number;
}

/** Which part stands first where a date is written with slashes or dashes, read off the column; `null`: it cannot be told. */
export type DayOrder = 'day first' | 'month first' | null;

const YEAR = /^(\d{4})(?:\.0+)?$/;
const SHORT_YEAR = /^['’](\d\d)$|^(\d\d)$/;
const ISO = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?$/;
const PARTS = /^(\d{1,2})([-/.])\s?(\d{1,2})[-/.]\s?(\d{4}|\d\d)(?: .*)?$/;

/** A day above 12 tells the order of the whole column; a point between the parts means day first. */
export function dayOrder(cells: readonly string[]): DayOrder {
  for (const cell of cells) {
    const parts = PARTS.exec(cell.trim());
    if (!parts) continue;
    if (Number(parts[1]) > 12 || parts[2] === '.') return 'day first';
    if (Number(parts[3]) > 12) return 'month first';
  }
  return null;
}

/** @param raceYear two digits are the latest such year that is not after it */
export function birthOf(cell: string, order: DayOrder, raceYear: number): Birth | null {
  const text = cell.trim();
  const short = SHORT_YEAR.exec(text);
  if (short) return checked({ year: centuryOf(Number(short[1] ?? short[2]), raceYear) }, raceYear);
  const year = YEAR.exec(text);
  if (year) return checked({ year: Number(year[1]) }, raceYear);
  const iso = ISO.exec(text);
  if (iso) return checked({ year: Number(iso[1]), month: Number(iso[2]), day: Number(iso[3]) }, raceYear);
  const parts = PARTS.exec(text);
  if (!parts) return null;
  const written = parts[4]!;
  const full = written.length === 4 ? Number(written) : centuryOf(Number(written), raceYear);
  if (order === null) return checked({ year: full }, raceYear);
  const [first, second] = [Number(parts[1]), Number(parts[3])];
  const [day, month] = order === 'day first' ? [first, second] : [second, first];
  return checked({ year: full, month, day }, raceYear);
}

const centuryOf = (short: number, raceYear: number): number => {
  const year = raceYear - (raceYear % 100) + short;
  return year > raceYear ? year - 100 : year;
};

const OLDEST = 110;
function checked(birth: Birth, raceYear: number): Birth | null {
  const { year, month = 1, day = 1 } = birth;
  const real = month >= 1 && month <= 12 && day >= 1 && day <= 31;
  return real && year <= raceYear && year >= raceYear - OLDEST ? birth : null;
}

/**
 * Age in whole years on race day; of a year alone the age that is reached in that year.
 *
 * @param raceDate such as `2026-10-04`
 */
export function ageOnRaceDay({ year, month, day }: Birth, raceDate: string): number {
  const [raceYear = 0, raceMonth = 1, raceDay = 1] = raceDate.split('-').map(Number);
  const years = raceYear - year;
  if (month === undefined || day === undefined) return years;
  return raceMonth < month || (raceMonth === month && raceDay < day) ? years - 1 : years;
}
