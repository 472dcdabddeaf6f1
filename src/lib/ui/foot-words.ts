import type { Foot, Gait } from '../records/foot.ts';

/** The word for a foot on a screen. */
export const FOOT_WORDS: Readonly<Record<Foot, string>> = {
  rearfoot: 'Rearfoot',
  midfoot: 'Midfoot',
  forefoot: 'Forefoot',
  unseen: 'Not seen',
};

const LETTERS: Readonly<Record<Foot, string>> = { rearfoot: 'R', midfoot: 'M', forefoot: 'F', unseen: '–' };

interface Seen {
  readonly gait?: Gait | undefined;
  readonly left: Foot;
  readonly right: Foot;
}

/**
 * Both feet in as few characters as a small key holds, left first: `R·M`.
 *
 * @param mirrored right first, as on a foot grid whose left column is the right foot
 */
export function feetInShort({ gait, left, right }: Seen, mirrored = false): string {
  if (gait === 'walk') return 'walk';
  const [first, second] = mirrored ? [right, left] : [left, right];
  return `${LETTERS[first]}·${LETTERS[second]}`;
}

/** Both feet in words: `left rearfoot, right midfoot`, `both rearfoot`, `walking`. */
export function feetInWords({ gait, left, right }: Seen): string {
  if (gait === 'walk') return 'walking';
  const words = [FOOT_WORDS[left].toLowerCase(), FOOT_WORDS[right].toLowerCase()];
  return left === right ? `both ${words[0]}` : `left ${words[0]}, right ${words[1]}`;
}

export const bibInWords = (bib: string | null): string => bib ?? 'no bib';
