import type { CoverageFlow } from '../coverage/coverage-flow.ts';
import type { NearFarAgreement } from './near-far-agreement.ts';
import { count, counted, decimal, decimalRange, levelText, listed, percent } from '../../../words/numbers.ts';
import { say, type Sentence } from '../../sentences/sentences-parts.ts';
import { flowSteps, passedWords } from '../coverage/flow-picture.ts';

/** The near against the far foot; `null` where no sides are known. */
export function nearFarSentence(entries: readonly NearFarAgreement[] | null, level: number): Sentence {
  if (!entries) {
    return say`Near and far foot cannot be told apart: that needs two observers at one checkpoint, each with a side of the course in the set-up.`;
  }
  const parts = entries
    .filter((entry) => entry.units > 0)
    .map(({ where, units, agreement, kappa }) => {
      const name =
        where === 'near' ? 'the near foot' : where === 'far' ? 'the far foot' : 'feet near to one rater only';
      const range = decimalRange(kappa.clusterLow, kappa.clusterHigh);
      const coefficient =
        kappa.estimate === null
          ? ''
          : ` (kappa ${decimal(kappa.estimate)}${range === null ? '' : `, ${levelText(level)} interval ${range}`})`;
      return `on ${name} ${percent(agreement)} of ${counted(units, 'comparison')}${coefficient}`;
    });
  return say`Two raters agreed ${listed(parts)}.`;
}

/** From passing to the findings at one checkpoint, in one sentence. */
export function flowSentence(flow: CoverageFlow, place: string, other: string | null): Sentence {
  const steps = flowSteps(flow, other);
  const [first, ...rest] = steps;
  const said = rest.map((step) => {
    const lost = step.lost.filter((one) => one.count > 0).map((one) => `${count(one.count)} ${one.reason}`);
    return `${count(step.kept)} ${step.name}${lost.length > 0 ? ` (left out: ${lost.join(', ')})` : ''}`;
  });
  return say`At ${place}: ${count(first!.kept)} ${first!.name} (${passedWords(flow)}) → ${said.join(' → ')}.`;
}
