import type { SamplingRule } from '../../../race/race.ts';
import { isDueByEnding } from '../../../race/sampling.ts';
import { either } from '../../../race/rule-words.ts';
import { isClassified } from '../../../sightings/runner-classes.ts';
import { count, counted } from '../../../words/numbers.ts';
import type { Field } from '../../field.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';

/** How far those whom a rule of bib endings asked for were classified. */
export interface DueCoverage {
  readonly endings: readonly string[];
  /** Finishers whose bib ends so; `null` without results. */
  readonly finishers: number | null;
  readonly places: readonly { readonly checkpoint: string; readonly due: number; readonly notDue: number }[];
}

/** `null` under every other rule: there a bib alone does not say who was due. */
export function dueCoverage(
  { table, classes }: ResolvedRace,
  field: Field | null,
  rule: SamplingRule | undefined,
): DueCoverage | null {
  if (rule?.kind !== 'endings') return null;
  const isDue = table.bibs.map((bib) => isDueByEnding(rule.endings, bib));
  const places = table.checkpoints.map(({ name }) => ({ checkpoint: name, due: 0, notDue: 0 }));
  for (let i = 0; i < classes.size; i += 1) {
    if (!isClassified(classes.outcome[i]!)) continue;
    const place = places[classes.checkpoint[i]!]!;
    if (isDue[classes.bib[i]!]) place.due += 1;
    else place.notDue += 1;
  }
  const finishers = field
    ? field.rows.filter(({ bib, finish }) => finish !== undefined && isDueByEnding(rule.endings, bib)).length
    : null;
  return { endings: rule.endings, finishers, places };
}

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
