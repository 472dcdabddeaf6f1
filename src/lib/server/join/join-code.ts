import { randomInt } from 'node:crypto';
import { StartFault } from '../start-fault.ts';

const DAY_MS = 86_400_000;
/** When a day has ended in the last time zone, it ended in UTC so long before. */
const LAST_ZONE_MS = 12 * 3_600_000;

/** Capital letters and digits of which no two look alike in print or handwriting: no B/8, D/O/0/Q, G, I/L/1, S/5, U/V, Z/2. */
const SIGNS = 'ACEFHJKMNPRTWXY34679';
const GROUPS = [3, 4, 3];

/** A join code such as `KFM-7XRA-34T`: ten signs of twenty, 43 bits, in groups that can be read out. */
export function newJoinCode(): string {
  return GROUPS.map((length) => Array.from({ length }, () => SIGNS[randomInt(SIGNS.length)]).join('')).join('-');
}

/** A typed code as it is compared: capitals, without blanks and hyphens. */
export function plainCode(typed: string): string {
  return typed.toUpperCase().replace(/[\s\u2010-\u2015-]/g, '');
}

/**
 * Whether a race's codes have run out.
 *
 * @param date the race's, as in its set-up
 * @param days how many days after it they hold; undefined for ever
 * @param now milliseconds since 1970
 */
export function codeHasRunOut(date: string, days: number | undefined, now: number): boolean {
  return days !== undefined && now >= Date.parse(date) + (days + 1) * DAY_MS + LAST_ZONE_MS;
}

/** How many days codes hold, as it was given; undefined when it was not. Throws when that is no number of days. */
export function givenCodesDays(given: string | undefined): number | undefined {
  if (given === undefined || given === '') return undefined;
  if (!/^\d{1,4}$/.test(given)) {
    throw new StartFault(`KERBSIDE_CODES_DAYS=${given}: expected a whole number of days, 0 to 9999.`);
  }
  return Number(given);
}
