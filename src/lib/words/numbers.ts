// How every figure is written in sentences, tables and pictures: one place, so that the same figure reads the same everywhere.

/** Holds a figure and its unit on one line. */
const NBSP = '\u00a0';
const MINUS = '\u2212';

/** What stands where a figure cannot be computed. */
export const NO_FIGURE = '–';

const signed = (text: string): string => {
  const bare = text.replace('-', '');
  // A rounded nought has no sign.
  return text.startsWith('-') && /[1-9]/.test(bare) ? MINUS + bare : bare;
};

/** A number with fixed decimals, U+2212 as its minus sign. */
export function decimal(value: number | null, digits = 2): string {
  return value === null ? NO_FIGURE : signed(value.toFixed(digits));
}

/** A whole number with a comma at the thousands: `1,471`. */
export function count(value: number | null): string {
  return value === null ? NO_FIGURE : value.toLocaleString('en-GB', { maximumFractionDigits: 0 }).replace('-', MINUS);
}

/** `1 runner`, `301 runners`. */
export function counted(value: number, one: string, many = `${one}s`): string {
  return `${count(value)} ${value === 1 ? one : many}`;
}

/** A proportion 0–1 as `81.6 %`. */
export function percent(share: number | null): string {
  return share === null ? NO_FIGURE : `${percentNumber(share)}${NBSP}%`;
}

/** A proportion 0–1 as `81.6`. Only what is none or all is written as 0.0 or 100.0. */
export function percentNumber(share: number | null): string {
  if (share === null) return NO_FIGURE;
  const text = signed((share * 100).toFixed(1));
  if (text === '0.0' && share > 0) return '<0.1';
  if (text === '100.0' && share < 1) return '>99.9';
  return text;
}

/** A difference of proportions as points of percent, without sign: the sentence says the direction. */
export function points(difference: number | null): string {
  if (difference === null) return NO_FIGURE;
  const text = (Math.abs(difference) * 100).toFixed(1);
  return `${text} ${text === '1.0' ? 'point' : 'points'}`;
}

/** A difference of proportions with its sign: `+6.0`, `−3.1`, `0.0`. */
export function signedPoints(difference: number | null): string {
  if (difference === null) return NO_FIGURE;
  const text = decimal(difference * 100, 1);
  return difference > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** The level of the intervals: 0.95 is `95 %`. */
export function levelText(level: number): string {
  return `${Number((level * 100).toFixed(3))}${NBSP}%`;
}

/** `78.6 to 84.2 %` from two proportions, or `null` when one end cannot be computed. */
export function percentRange(low: number | null, high: number | null): string | null {
  return low === null || high === null ? null : `${percentNumber(low)} to ${percentNumber(high)}${NBSP}%`;
}

/** `−2.1 to 10.0` from two differences of proportions, in points. */
export function pointRange(low: number | null, high: number | null): string | null {
  return low === null || high === null ? null : `${decimal(low * 100, 1)} to ${decimal(high * 100, 1)}`;
}

/** A ratio such as an odds ratio: two decimals, none where they would only be noise. */
export function ratio(value: number | null): string {
  return value === null ? NO_FIGURE : value >= 100 ? count(value) : decimal(value, value > 0 && value < 0.095 ? 3 : 2);
}

/** `0.93 to 1.19`, of ratios. */
export function ratioRange(low: number | null, high: number | null): string | null {
  return low === null || high === null ? null : `${ratio(low)} to ${ratio(high)}`;
}

/** `0.61 to 0.97`. */
export function decimalRange(low: number | null, high: number | null, digits = 2): string | null {
  return low === null || high === null ? null : `${decimal(low, digits)} to ${decimal(high, digits)}`;
}

/** A range, or the dash that stands for none. */
export const orNone = (range: string | null): string => range ?? NO_FIGURE;

/**
 * A p-value: `p < 0.001`, three decimals below 0.1, two above. A value next to 0.05 keeps the digits that show on which
 * side it lies.
 */
export function pValue(p: number | null): string {
  return p === null ? `p${NBSP}not available` : /^[<>]/.test(pNumber(p)) ? `p ${pNumber(p)}` : `p = ${pNumber(p)}`;
}

/** The p-value without its letter, for tables: `< 0.001`, `0.003`, `0.19`. */
export function pNumber(p: number | null): string {
  if (p === null) return NO_FIGURE;
  if (p < 0.001) return '<\u00a00.001';
  if (p > 0.99 && p < 1) return '>\u00a00.99';
  if (p >= 0.0945) return p.toFixed(2);
  for (let digits = 3; digits < 8; digits += 1) {
    const text = p.toFixed(digits);
    if (Number(text) !== 0.05 || p === 0.05) return text;
  }
  return p.toPrecision(9);
}

/** How often chance alone would do at least as much, in words that need no statistics. */
export function chanceWords(p: number): string {
  if (p < 0.001) return 'fewer than 1 race in 1,000';
  if (p < 0.01) return `about ${counted(Math.round(p * 1000), 'race')} in 1,000`;
  if (p > 0.995) return 'nearly every race';
  return `about ${counted(Math.round(p * 100), 'race')} in 100`;
}

/** Seconds as `h:mm:ss`, tenths cut by rounding. */
export function clock(seconds: number | null): string {
  if (seconds === null) return NO_FIGURE;
  const whole = Math.round(Math.abs(seconds));
  const two = (n: number): string => String(n).padStart(2, '0');
  const text = `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
  return seconds < 0 && whole > 0 ? MINUS + text : text;
}

/** Seconds for one km as `m:ss`. */
export function pace(secondsPerKm: number | null): string {
  if (secondsPerKm === null) return NO_FIGURE;
  const whole = Math.round(secondsPerKm);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** A distance as `10 km`, `17.25 km`. */
export function distance(km: number): string {
  return `${Number(km.toFixed(3))}${NBSP}km`;
}

/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** A sentence's first letter as a capital. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
