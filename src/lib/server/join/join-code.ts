import { randomInt } from 'node:crypto';

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
