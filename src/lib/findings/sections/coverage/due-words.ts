import { either } from '../../../race/rule-words.ts';
import { count, counted } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { DueCoverage } from './due-coverage.ts';

/** @param focus the checkpoints to speak of */
export function dueWords({ endings, finishers, places }: DueCoverage, focus: readonly string[]): Sentence[] {
  return places
    .filter(({ checkpoint }) => focus.includes(checkpoint))
    .map(({ checkpoint, due, notDue }) => {
      const of =
        finishers === null
          ? say`Of the runners whose bib ends in ${either(endings)}`
          : say`Of the ${count(finishers)} finishers whose bib ends in ${either(endings)}`;
      const besides =
        notDue === 0 ? '' : `; besides them ${counted(notDue, 'runner')} who ${notDue === 1 ? 'was' : 'were'} not due`;
      return say`${of}, the runners who were due, ${strong(count(due))} were classified at ${checkpoint}${besides}.`;
    });
}
