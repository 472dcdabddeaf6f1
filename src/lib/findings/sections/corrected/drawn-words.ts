import { count, counted } from '../../../words/numbers.ts';
import { asAside, say, type Sentence } from '../../sentences/sentences-parts.ts';
import type { ValidationState } from './validation-draw.ts';

/**
 * How the reviewed runners were chosen, a sentence for each checkpoint that has some; only a drawn set is called random. For
 * paper: a screen shows the draws themselves.
 */
export function drawnSentences(states: readonly ValidationState[]): Sentence[] {
  return states.flatMap((state) => {
    const { checkpoint, draws, beyond } = state;
    const drawn = new Set(
      draws.flatMap(({ runners }) => runners.filter(({ reviewed }) => reviewed).map(({ bib }) => bib)),
    ).size;
    const all = drawn + beyond.length;
    if (all === 0) return [];
    if (beyond.length === 0) {
      return [
        asAside(
          say`At ${checkpoint} the ${counted(all, 'reviewed runner was', 'reviewed runners were')} drawn at random.`,
        ),
      ];
    }
    const part = drawn === 0 ? 'none' : count(drawn);
    const others =
      beyond.length === 1 ? 'the other was' : drawn === 0 ? 'they were' : `the other ${count(beyond.length)} were`;
    return [
      asAside(
        say`At ${checkpoint} ${part} of ${counted(all, 'reviewed runner')} ${drawn > 1 ? 'were' : 'was'} drawn at random; ${others} chosen by hand, so the reviewed are no random part.`,
      ),
    ];
  });
}
