import { likenessOf } from '../../race/look-alike-characters.ts';

/**
 * How bibs are misread: every constant of the model, in one place. There is no published table for race bibs read at the
 * kerb: the values are common practice, no source, and deliberately round. What matters for the ranking is their order
 * of size; the probabilities shown are as good as these rates.
 */
export const MISREAD = {
  /** Share of sightings with a wrong bib. */
  rate: 0.02,
  /** Share of sightings of people who are not on the list: late entries, borrowed numbers, guests. */
  strangerRate: 0.002,
  /** How a misreading comes about; the rest (two faults at once) belongs to no candidate. */
  oneDigit: 0.72,
  swapped: 0.1,
  dropped: 0.07,
  added: 0.07,
  /** A bib that differs in leading zeros alone is read without them this often. */
  zerosDropped: 0.3,
  /** Of the added digits, those that double the digit before. */
  addedIsDoubled: 0.6,
  /** Pairs of characters by how alike they look; one is taken for each other one in proportion. */
  alike: 1,
  ratherAlike: 0.15,
  unlike: 0.06,
  /** A bib that this very observer has entered here before comes again this seldom. */
  seenHereBySame: 0.02,
  /** Chance that a second observer at the checkpoint has the runner too, when the times agree. */
  seenHereByOther: 0.5,
  /** A starter without a finish is on the road this much less often. */
  noFinish: 0.15,
  /** Two sightings at different places under one number that is not on the list: how often a stranger, how often chance. */
  strangerAgain: 0.5,
  misreadAgain: 0.003,
  /** Entering one runner twice: how often, and the mean seconds between when it is a slip of the hand. */
  repeatRate: 0.004,
  repeatSlipShare: 0.85,
  repeatSlipSeconds: 20,
  /** The two entries of one runner have the same feet this often; two runners have by chance. */
  repeatSameFeet: 0.85,
  chanceSameFeet: 0.6,
} as const;

/** How alike two different characters look: relative, not a probability. */
export function lookAlike(a: string, b: string): number {
  return MISREAD[likenessOf(a, b)];
}

const DIGITS = [...'0123456789'];
const totals = new Map<string, number>();
function totalLikeness(character: string): number {
  let total = totals.get(character);
  if (total === undefined) {
    total = 0;
    for (const digit of DIGITS) if (digit !== character) total += lookAlike(character, digit);
    totals.set(character, total);
  }
  return total;
}

/** Probability that `shown` is taken for `read` when exactly this character is misread. */
export function characterMisread(shown: string, read: string): number {
  return lookAlike(shown, read) / totalLikeness(shown);
}
