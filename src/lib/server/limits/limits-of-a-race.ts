import type { Rate } from './allowances.ts';

// What observers may bring to one race, chosen so that no honest one comes near. An observer looks at 10 to 30 runners a
// minute; the largest marathons have some 50,000 runners. (Common practice, no source.) Analysts and the organiser have no
// limits of records.

/**
 * In all. A tap every second for 48 hours is 172,800 records of a device; 50,000 runners, seen by two observers at each of
 * ten checkpoints and twice over for corrections, are 2 million; a thousand tablets are more than any race has people for.
 */
export const LIMITS_OF_A_RACE = { recordsOfDevice: 200_000, records: 2_000_000, devices: 1000 } as const;

/** Twelve hours of 40 runners a minute, handed in at once after a day without network; then twice the fastest thumb. */
export const RATE_OF_DEVICE: Rate = { atOnce: 30_000, perSecond: 5 };

/**
 * Forty observers at 20 runners a minute for six hours are 288,000 records, brought at once by all who joined with one
 * code; a hundred who tally at full pace bring 50 a second.
 */
export const RATE_OF_CODE: Rate = { atOnce: 300_000, perSecond: 60 };
/** Two codes' worth: a code that was renewed leaves room for those who join with the new one. */
export const RATE_OF_RACE: Rate = { atOnce: 600_000, perSecond: 120 };

/**
 * What each device may bring while the code or the race has used its own up: as fast as a thumb tallies. So the guest who
 * used it up is held to that too, and those who tally honestly feel nothing of it.
 */
export const RATE_MEANWHILE: Rate = { atOnce: 120, perSecond: 1 };

/** Every tablet of the largest race within one briefing; then more than can be handed out. */
export const RATE_OF_JOINS: Rate = { atOnce: 250, perSecond: 0.2 };

/** Refused records of one device that are kept for the organiser; beyond they are refused alone. */
export const MOST_REFUSED_KEPT = 5000;
