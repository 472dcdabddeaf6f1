import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Findings } from '../../findings.ts';
import type { Shift } from './figures.ts';
import {
  count,
  counted,
  decimal,
  levelText,
  listed,
  orNone,
  percent,
  pNumber,
  pointRange,
  ratio,
  ratioRange,
  signedPoints,
} from '../../../words/numbers.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { FlowPicture, TableData } from '../../series-picture.ts';

const sum = (row: readonly number[]): number => row.reduce((all, n) => all + n, 0);

/** Who was of which class early and late, in the runners classified at both; `null` when there are none. */
export function shiftPicture(findings: Findings): FlowPicture | null {
  const shift = findings.shift;
  if (!shift || shift.paired === 0) return null;
  const links = RUNNER_CLASSES.flatMap((from, i) =>
    RUNNER_CLASSES.map((to, j) => ({ from: `early ${from}`, to: `late ${to}`, value: shift.transitions[i]?.[j] ?? 0 })),
  ).filter((link) => link.value > 0);
  const early = shift.transitions.map(sum);
  const late = RUNNER_CLASSES.map((_, j) => sum(shift.transitions.map((row) => row[j] ?? 0)));
  const inWords = (totals: readonly number[]): string =>
    listed(RUNNER_CLASSES.map((one, i) => `${one} ${count(totals[i] ?? 0)}`));
  return {
    kind: 'flow',
    id: 'shift',
    title: `The same ${count(shift.paired)} runners, early and late`,
    label: `Flow from class at ${place(findings, shift.early)} to class at ${place(findings, shift.late)}. Early: ${inWords(early)}. Late: ${inWords(late)}.`,
    columns: [place(findings, shift.early), place(findings, shift.late)],
    nodes: [
      ...RUNNER_CLASSES.map((tone, i) => ({
        id: `early ${tone}`,
        name: `${tone} ${count(early[i] ?? 0)}`,
        column: 0,
        tone,
      })),
      ...RUNNER_CLASSES.map((tone, i) => ({
        id: `late ${tone}`,
        name: `${tone} ${count(late[i] ?? 0)}`,
        column: 1,
        tone,
      })),
    ].filter((node) => links.some((link) => link.from === node.id || link.to === node.id)),
    links,
    table: transitionsTable(findings, shift),
  };
}

function transitionsTable(findings: Findings, shift: Shift): TableData {
  return {
    caption: `Runners classified at both: class at ${place(findings, shift.early)} down, at ${place(findings, shift.late)} across`,
    columns: ['Early', ...RUNNER_CLASSES.map((one) => `${one} late`), 'all'],
    rows: [
      ...RUNNER_CLASSES.map((one, i) => {
        const row = shift.transitions[i] ?? [];
        return [one, ...row.map(count), count(sum(row))];
      }),
      [
        'all',
        ...RUNNER_CLASSES.map((_, j) => count(sum(shift.transitions.map((row) => row[j] ?? 0)))),
        count(shift.paired),
      ],
    ],
  };
}

/** Every figure of the shift in one table. */
export function shiftTable(shift: Shift, level: number): TableData {
  const { rearfoot, mcnemar } = { rearfoot: shift.rearfoot, mcnemar: shift.rearfoot.mcnemar };
  const interval = `${levelText(level)} interval`;
  const test = (name: string, figure: { statistic: number | null; df: number | null; p: number | null }): string[] => [
    name,
    decimal(figure.statistic, 3),
    count(figure.df),
    pNumber(figure.p),
    '',
  ];
  return {
    caption: `Shift of the rearfoot share: effects with their ${interval}, and every test`,
    columns: ['Figure', 'Value or statistic', 'df', 'p', interval],
    rows: [
      ['Rearfoot early (paired)', percent(rearfoot.early), '', '', ''],
      ['Rearfoot late (paired)', percent(rearfoot.late), '', '', ''],
      [
        'Difference, points',
        signedPoints(rearfoot.difference),
        '',
        '',
        orNone(pointRange(rearfoot.low, rearfoot.high)),
      ],
      [
        `Difference in the ${counted(shift.sameObserver.pairs, 'pair')} seen by one observer`,
        signedPoints(shift.sameObserver.difference),
        '',
        '',
        orNone(pointRange(shift.sameObserver.low, shift.sameObserver.high)),
      ],
      ['Moved onto the rearfoot', count(rearfoot.gained), '', '', ''],
      ['Moved off the rearfoot', count(rearfoot.lost), '', '', ''],
      [
        'Odds ratio, onto ÷ off',
        ratio(rearfoot.oddsRatio),
        '',
        '',
        orNone(ratioRange(rearfoot.oddsRatioLow, rearfoot.oddsRatioHigh)),
      ],
      test('McNemar', mcnemar),
      ['McNemar, exact', '', '', pNumber(mcnemar.exactP), ''],
      ['McNemar, mid-p', '', '', pNumber(mcnemar.midP), ''],
      test('Stuart–Maxwell', shift.marginalHomogeneity),
      test('Bowker, symmetry', shift.symmetry),
      test('Separate samples, Pearson', shift.independent),
      ['Separate samples, exact', '', '', pNumber(shift.independent.exactP), ''],
      ['Separate samples, Cramér’s V', decimal(shift.independent.cramersV, 3), '', '', ''],
      ['Separate samples, overlap', percent(shift.independent.overlap), '', '', ''],
      test('Lost and seen again, Pearson', shift.attrition),
      ...(shift.cochranQ ? [test('Cochran’s Q', shift.cochranQ)] : []),
      [
        'Trend: odds ratio per 10 km (GEE)',
        ratio(shift.trend.oddsRatio),
        '',
        pNumber(shift.trend.p),
        orNone(ratioRange(shift.trend.low, shift.trend.high)),
      ],
    ],
  };
}

/** The two samples and the lost runners as counts. */
export function samplesTable(findings: Findings, shift: Shift): TableData {
  const row = (name: string, counts: readonly number[] | undefined): string[] => {
    const all = counts ?? [];
    return [
      name,
      ...RUNNER_CLASSES.map((_, i) => count(all[i] ?? 0)),
      count(sum(all)),
      percent(sum(all) > 0 ? (all[0] ?? 0) / sum(all) : null),
    ];
  };
  return {
    caption:
      'All classified runners as two separate samples, and the early runners by whether they were classified late',
    columns: ['Runners', ...RUNNER_CLASSES, 'all', 'rearfoot share'],
    rows: [
      row(`Early, ${place(findings, shift.early)}`, shift.independent.table[0]),
      row(`Late, ${place(findings, shift.late)}`, shift.independent.table[1]),
      row('Early, seen again late', shift.attrition.table[0]),
      row('Early, not seen late', shift.attrition.table[1]),
    ],
  };
}
