const DAYS_IN_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const [ZERO, NINE, COLON, DASH, DOT, PLUS, SPACE] = [0x30, 0x39, 0x3a, 0x2d, 0x2e, 0x2b, 0x20];
const [UPPER_T, LOWER_T, UPPER_Z, LOWER_Z] = [0x54, 0x74, 0x5a, 0x7a];

/** The number that two digits at `at` write, or NaN. */
function twoDigits(bytes: Uint8Array, at: number): number {
  const tens = bytes[at]! - ZERO;
  const ones = bytes[at + 1]! - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : Number.NaN;
}

function isLeapYear(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
}

/** Days from 1970-01-01 to a date of the Gregorian calendar; years are counted from March so that leap days come last. */
function daysSince1970(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const monthsSinceMarch = (month + 9) % 12;
  const dayOfYear = Math.floor((153 * monthsSinceMarch + 2) / 5) + day - 1;
  return y * 365 + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + dayOfYear - 719_468;
}

/**
 * The instant of an RFC 3339 date-time with offset, such as `2026-10-04T09:30:05.12+02:00`, that stands in the bytes
 * `from` to `to` (not included). By hand: 0.06 s for a million, `Date.parse` of decoded text 0.31, and that takes forms that
 * RFC 3339 has not (`npm run bench by-hand`).
 *
 * @returns milliseconds since 1970-01-01T00:00Z, with a fraction where more than three decimals are written, or NaN when
 *   the bytes are no such date-time
 */
export function instantOfBytes(bytes: Uint8Array, from: number, to: number): number {
  if (to - from < 20) return Number.NaN;
  const year = twoDigits(bytes, from) * 100 + twoDigits(bytes, from + 2);
  const month = twoDigits(bytes, from + 5);
  const day = twoDigits(bytes, from + 8);
  const hour = twoDigits(bytes, from + 11);
  const minute = twoDigits(bytes, from + 14);
  const second = twoDigits(bytes, from + 17);
  const between = bytes[from + 10];
  const written =
    bytes[from + 4] === DASH &&
    bytes[from + 7] === DASH &&
    (between === UPPER_T || between === LOWER_T || between === SPACE) &&
    bytes[from + 13] === COLON &&
    bytes[from + 16] === COLON;
  if (!written || !(month >= 1 && month <= 12) || !(hour <= 23) || !(minute <= 59)) return Number.NaN;
  const days = month === 2 && isLeapYear(year) ? 29 : DAYS_IN_MONTH[month - 1]!;
  // Second 60 is a leap second, which RFC 3339 allows.
  if (!(day >= 1 && day <= days) || !(second <= 60) || Number.isNaN(year)) return Number.NaN;

  let at = from + 19;
  let fractionMs = 0;
  if (bytes[at] === DOT) {
    at += 1;
    const first = at;
    let unit = 100;
    for (; at < to && bytes[at]! >= ZERO && bytes[at]! <= NINE; at += 1) {
      fractionMs += (bytes[at]! - ZERO) * unit;
      unit /= 10;
    }
    if (at === first) return Number.NaN;
  }
  let offsetMinutes = 0;
  const zone = bytes[at];
  if (zone === UPPER_Z || zone === LOWER_Z) at += 1;
  else if ((zone === PLUS || zone === DASH) && at + 6 === to && bytes[at + 3] === COLON) {
    const hours = twoDigits(bytes, at + 1);
    const minutes = twoDigits(bytes, at + 4);
    if (!(hours <= 23) || !(minutes <= 59)) return Number.NaN;
    offsetMinutes = (zone === DASH ? -1 : 1) * (hours * 60 + minutes);
    at += 6;
  } else return Number.NaN;
  if (at !== to) return Number.NaN;
  const seconds = daysSince1970(year, month, day) * 86_400 + hour * 3600 + (minute - offsetMinutes) * 60 + second;
  return seconds * 1000 + fractionMs;
}
