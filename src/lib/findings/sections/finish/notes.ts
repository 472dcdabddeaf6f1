import { pearsonChiSquareTest } from '../../../stats/contingency/pearson-chi-square-test.ts';
import type { FinishFigures } from './figures.ts';
import { one } from '../../note-words.ts';
import { isSparse, LEAST_EXPECTED } from '../../which-test.ts';
import { MOST_SEX_LEVELS, type NoModel } from './figures.ts';

const MODEL_REASONS: Record<NoModel, string> = {
  'no rearfoot runner': 'no rearfoot runner, the reference class, has all it takes',
  'equal times': 'all finish times are equal',
  'no degree of freedom': 'there are no more runners than terms',
  'perfect fit': 'the terms fit the times without residuals, and a perfect fit has no error to judge by',
  'too many sex levels': `the column sex has more than ${MOST_SEX_LEVELS} different values and is likely another column`,
};

/** @param noModel why there is no model, where there is none */
export function finishNotes(finish: FinishFigures, noModel: NoModel | null): string[] {
  const notes: string[] = [];
  if (finish.matched === 0) {
    return [
      `No runner classified at ${finish.by} has a finish: the times and tests in finish are null, cuts and model as a whole.`,
    ];
  }
  const empty = Object.entries(finish.groups).filter(([, group]) => group.n === 0);
  if (empty.length > 0) {
    notes.push(`Times are null for ${empty.map(([name]) => name).join(', ')}: no matched runner is of that class.`);
  }
  if (finish.kruskalWallis.p === null) {
    notes.push('kruskalWallis and pairwise tests are null or empty: one class only, or all finish times equal.');
  }
  const { rearfootAgainstRest: against, quarters } = finish;
  if (against.p === null) {
    notes.push(
      against.rearfoot === 0 || against.rest === 0
        ? 'rearfootAgainstRest is null: the matched runners are all rearfoot, or none is.'
        : 'p of rearfootAgainstRest is null: all finish times are equal.',
    );
  }
  if (quarters.p === null) {
    notes.push(
      'The tests in quarters are null: the matched runners are all rearfoot or none is, or all times are equal.',
    );
  } else if (isSparse(pearsonChiSquareTest(quarters.table))) {
    notes.push(`quarters has an expected count below ${LEAST_EXPECTED}: its chi-square p is doubtful.`);
  }
  notes.push(...exactTrendNotes(finish));
  if (noModel) notes.push(`model is null: ${MODEL_REASONS[noModel]}.`);
  else if (finish.model && finish.model.n < finish.matched) {
    notes.push(`model leaves out ${one(finish.matched - finish.model.n, 'runner')} with no age or sex in the results.`);
  }
  return notes;
}

function exactTrendNotes({ quarters: { trend, p, table } }: FinishFigures): string[] {
  if (p === null) return [];
  if (trend.exactP === null) return ['exactP of the trend in quarters is null: the counts are too large to need it.'];
  return isSparse(pearsonChiSquareTest(table))
    ? ['With small expected counts read exactP of the trend in quarters, not its p.']
    : [];
}
