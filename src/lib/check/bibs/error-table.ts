import { characterMisread, MISREAD } from './misread-model.ts';

/** A slip of the eye or the finger that turns one bib into another. */
export interface Slip {
  readonly kind: 'character' | 'swapped' | 'dropped' | 'added' | 'zeros';
  /** Probability of this very place, given the kind. */
  readonly chance: number;
  /** What stood on the bib and what was read, for one character taken for another. */
  readonly shown?: string;
  readonly read?: string;
}

/** How often each kind of slip is made, and what each character is taken for. */
export interface ErrorTable {
  /** Shares of the kinds of slip among misreadings; leading zeros apart. */
  readonly shares: Readonly<Record<Slip['kind'], number>>;
  /** Probability that `shown` is taken for `read` when exactly this character is misread. */
  readonly taken: (shown: string, read: string) => number;
}

/** Before anything is known of a race's observers. */
export const USUAL_ERRORS: ErrorTable = {
  shares: {
    character: MISREAD.oneDigit,
    swapped: MISREAD.swapped,
    dropped: MISREAD.dropped,
    added: MISREAD.added,
    zeros: MISREAD.zerosDropped,
  },
  taken: characterMisread,
};

/** Probability of a slip, given that the bib is misread. */
export function slipProbability(table: ErrorTable, { kind, chance, shown = '', read = '' }: Slip): number {
  return table.shares[kind] * chance * (kind === 'character' ? table.taken(shown, read) : 1);
}
