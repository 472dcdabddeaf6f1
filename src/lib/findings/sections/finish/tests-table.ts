import { count, decimal, pNumber } from '../../../words/numbers.ts';
import type { TableData } from '../../series-picture.ts';
import type { FinishFigures } from './figures.ts';

/** Every test of class against finish time but the comparisons of two classes and the model, which have tables of their own. */
export function finishTestsTable(finish: FinishFigures): TableData {
  const { kruskalWallis: ranks, rearfootAgainstRest: rest, quarters } = finish;
  return {
    caption: 'Tests of class against finish time',
    columns: ['Test', 'Statistic', 'df', 'p', 'Effect'],
    rows: [
      [
        'Kruskal–Wallis, all classes',
        `H ${decimal(ranks.statistic, 3)}`,
        count(ranks.df),
        pNumber(ranks.p),
        `ε² ${decimal(ranks.epsilonSquared, 3)}`,
      ],
      [
        'Mann–Whitney, rearfoot against the rest',
        `U ${decimal(rest.statistic, 1)}`,
        '',
        pNumber(rest.p),
        `Cliff’s δ ${decimal(rest.cliffsDelta)}`,
      ],
      [
        'Trend of the rearfoot share over quarters',
        `χ² ${decimal(quarters.trend.statistic, 3)}`,
        '1',
        pNumber(quarters.trend.p),
        '',
      ],
      ['The same, exact', '', '', pNumber(quarters.trend.exactP), ''],
      [
        'Any difference between quarters',
        `χ² ${decimal(quarters.statistic, 3)}`,
        count(quarters.df),
        pNumber(quarters.p),
        '',
      ],
    ],
  };
}
