import type { SamplingRule } from '../../../race/race.ts';
import { isDueByEnding } from '../../../race/sampling.ts';
import { isClassified } from '../../../sightings/runner-classes.ts';
import type { Field } from '../../field.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

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
