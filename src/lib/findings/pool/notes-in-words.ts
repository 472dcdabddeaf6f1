import { listed } from '../../words/numbers.ts';
import type { Pooled } from './pooled.ts';
import { furtherNotes } from './words.ts';

const EFFECT_WORDS: Readonly<Record<string, string>> = {
  share: 'the share',
  difference: 'the shift',
  oddsRatio: 'the odds of the shift',
  trend: 'the trend',
};

/** What the notes say about a figure before its name in the findings file. */
const OPENING =
  /^(Left out of|½ was added in|Without a single race the interval of|tau2 of) (share|difference|oddsRatio|trend)\b/;

const NO_SPREAD = /^tau2 of (.*) is 0: .*$/;

/**
 * The notes as somebody reads them who knows no name of the findings file; those that only say why a figure is a dash are left
 * to the file.
 */
export function notesInWords(pooled: Pooled): string[] {
  const notes = furtherNotes(pooled)
    .filter((note) => !/\b(is|are) null\b/.test(note) && !note.startsWith('No results have a runner code'))
    .map((note) =>
      note.replace(OPENING, (_, opening: string, effect: string) => `${opening} ${EFFECT_WORDS[effect]!}`),
    );
  const alike = notes.flatMap((note) => NO_SPREAD.exec(note)?.[1] ?? []);
  const others = notes.filter((note) => !NO_SPREAD.test(note));
  // Of several effects it is said once.
  return alike.length === 0
    ? others
    : [`No spread of ${listed(alike)} between races was seen; there may be some.`, ...others];
}
