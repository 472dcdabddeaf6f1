import { FOOT_CLASSES } from '../../../records/foot.ts';
import type { AgreementFigure, RaterPair } from './figures.ts';
import { count, decimal, decimalRange, levelText, orNone, percent } from '../../../words/numbers.ts';
import { chanceAgreement } from './words.ts';
import type { IntervalMark, MarksPicture, TableData } from '../../series-picture.ts';

export const pairName = (pair: { a: string; b: string }): string => `${pair.a} and ${pair.b}`;

/** More pairs than this and the picture keeps those with the most feet in common; the table has all. */
const MOST_PAIRS = 12;

const markOf = (figure: AgreementFigure): IntervalMark | null =>
  figure.estimate === null ? null : { value: figure.estimate, low: figure.clusterLow, high: figure.clusterHigh };

interface ShownPairs {
  readonly pairs: readonly RaterPair[];
  /** What the title says where some are left to the table. */
  readonly only: string;
}

function shownPairs(pairs: readonly RaterPair[]): ShownPairs {
  if (pairs.length <= MOST_PAIRS) return { pairs, only: '' };
  const shown = pairs.toSorted((a, b) => b.units - a.units).slice(0, MOST_PAIRS);
  return { pairs: shown, only: ` (the ${MOST_PAIRS} pairs with most feet)` };
}

const rowOf = (pair: RaterPair): string => `${pairName(pair)} · ${count(pair.units)} feet`;

/** Of how many feet two raters named the same class, beside what they would if neither looked; `null` without a pair. */
export function agreementPicture(pairs: readonly RaterPair[]): MarksPicture | null {
  if (pairs.length === 0) return null;
  const { pairs: shown, only } = shownPairs(pairs);
  const bare = (value: number): IntervalMark => ({ value, low: null, high: null });
  return {
    kind: 'marks',
    style: 'bar',
    unit: 'share',
    id: 'agreement',
    title: `Feet that two raters gave the same class${only}`,
    label: `Bars. ${shown.map((pair) => `${pairName(pair)}: the same class ${percent(pair.agreement)}, by chance ${percent(chanceAgreement(pair.table))}`).join('; ')}.`,
    axisTitle: 'share of the feet both classed',
    rows: shown.map(rowOf),
    groups: [
      { name: 'the same class', tone: 'first', marks: shown.map((pair) => bare(pair.agreement)) },
      { name: 'by chance alone', tone: 'muted', marks: shown.map((pair) => bare(chanceAgreement(pair.table))) },
    ],
    min: 0,
    max: 1,
    table: {
      caption: 'Feet that two raters classed, those given the same class, and how many chance alone would bring',
      columns: ['Raters', 'Feet', 'Same class', 'By chance'],
      rows: pairs.map((pair) => [
        pairName(pair),
        count(pair.units),
        percent(pair.agreement),
        percent(chanceAgreement(pair.table)),
      ]),
    },
  };
}

/** Kappa, weighted kappa and AC1 of each pair of raters, with the intervals by runner; `null` without a pair. */
export function coefficientsPicture(pairs: readonly RaterPair[], level: number): MarksPicture | null {
  if (pairs.length === 0) return null;
  const { pairs: shown, only } = shownPairs(pairs);
  return {
    kind: 'marks',
    style: 'point',
    unit: 'coefficient',
    id: 'agreement-coefficients',
    title: `Coefficients of agreement, with ${levelText(level)} intervals by runner${only}`,
    label: `Points with intervals. ${shown.map((pair) => `${pairName(pair)}: kappa ${decimal(pair.kappa.estimate)}, weighted kappa ${decimal(pair.weightedKappa.estimate)}, AC1 ${decimal(pair.ac1.estimate)}`).join('; ')}.`,
    axisTitle: '1 is full agreement; at 0 chance would do as well',
    rows: shown.map(rowOf),
    groups: [
      { name: 'kappa', tone: 'first', marks: shown.map((pair) => markOf(pair.kappa)) },
      { name: 'weighted kappa', tone: 'second', marks: shown.map((pair) => markOf(pair.weightedKappa)) },
      { name: 'AC1', tone: 'third', marks: shown.map((pair) => markOf(pair.ac1)) },
    ],
    max: 1,
    table: coefficientsTable(pairs, level),
  };
}

function coefficientsTable(pairs: readonly RaterPair[], level: number): TableData {
  const figure = (one: AgreementFigure): string[] => [
    decimal(one.estimate, 3),
    orNone(decimalRange(one.clusterLow, one.clusterHigh)),
  ];
  return {
    caption: `Agreement of each two raters on the same foot; ${levelText(level)} intervals take the two feet of a runner together`,
    columns: [
      'Raters',
      'Feet',
      'Agreement',
      'By chance',
      'Kappa',
      'interval',
      'Weighted kappa',
      'interval',
      'AC1',
      'interval',
    ],
    rows: pairs.map((pair) => [
      pairName(pair),
      count(pair.units),
      percent(pair.agreement),
      percent(chanceAgreement(pair.table)),
      ...figure(pair.kappa),
      ...figure(pair.weightedKappa),
      ...figure(pair.ac1),
    ]),
  };
}

/** The 3×3 table of one pair. */
export function confusionTable(pair: RaterPair): TableData {
  const total = (cells: readonly number[]): number => cells.reduce((sum, cell) => sum + cell, 0);
  return {
    caption: `${pairName(pair)}: ${pair.a} down, ${pair.b} across, feet`,
    columns: [pair.a, ...FOOT_CLASSES.map((one) => `${one} (${pair.b})`), 'all'],
    rows: [
      ...FOOT_CLASSES.map((one, i) => [one, ...(pair.table[i] ?? []).map(count), count(total(pair.table[i] ?? []))]),
      ['all', ...FOOT_CLASSES.map((_, j) => count(total(pair.table.map((row) => row[j] ?? 0)))), count(pair.units)],
    ],
  };
}
