import { modelHolds } from './model-holds.ts';
import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Findings } from '../../findings.ts';
import type { FinishFigures } from './figures.ts';
import {
  capital,
  clock,
  count,
  decimal,
  decimalRange,
  levelText,
  NO_FIGURE,
  orNone,
  percent,
  percentRange,
  pNumber,
} from '../../../words/numbers.ts';
import { wilsonInterval } from '../../../stats/proportions/wilson-interval.ts';
import { place } from '../../sentences/sentences-section.ts';
import { hasFewInAQuarter, LEAST_GROUP } from '../../which-test.ts';
import type { BoxesPicture, MarksPicture, TableData } from '../../series-picture.ts';

/** Ends of the whiskers of one class's box, seconds: the 5th and 95th percentile of its finish times. */
export interface FinishSpread {
  readonly low: number;
  readonly high: number;
}
export type FinishSpreads = Partial<Record<(typeof RUNNER_CLASSES)[number], FinishSpread>>;

/** Classes with enough runners for a time of their own. */
const shown = (finish: FinishFigures) => RUNNER_CLASSES.filter((name) => finish.groups[name].n >= LEAST_GROUP);

/** Finish times by class as boxes; `null` when no class has a time. Without `spreads` the whiskers end at the box. */
export function finishPicture(findings: Findings, spreads: FinishSpreads): BoxesPicture | null {
  const finish = findings.finish;
  if (!finish || shown(finish).length === 0) return null;
  const boxes = shown(finish).map((name) => {
    const { n, median, q1, q3 } = finish.groups[name];
    return {
      name: `${name} ${count(n)}`,
      tone: name,
      median: median ?? 0,
      q1: q1 ?? 0,
      q3: q3 ?? 0,
      low: spreads[name]?.low ?? q1 ?? 0,
      high: spreads[name]?.high ?? q3 ?? 0,
    };
  });
  return {
    kind: 'boxes',
    id: 'finish-times',
    title: `Finish times by class at ${place(findings, finish.by)}`,
    label: `Box plots of finish times. ${boxes.map((box) => `${box.name}: median ${clock(box.median)}, middle half ${clock(box.q1)} to ${clock(box.q3)}`).join('; ')}.`,
    axisTitle: 'finish time, hours:minutes; box: middle half, whiskers: 5th to 95th percentile',
    boxes,
    table: {
      caption: `Finish times of the ${count(finish.matched)} finishers classified at ${place(findings, finish.by)}; a class of fewer than ${LEAST_GROUP} shows no time`,
      columns: [
        'Class',
        'Finishers',
        '5th percentile',
        'Lower quartile',
        'Median',
        'Upper quartile',
        '95th percentile',
        'Mean',
      ],
      rows: RUNNER_CLASSES.map((name) => {
        const { n, median, q1, q3, mean } = finish.groups[name];
        const spread = spreads[name];
        if (n < LEAST_GROUP) return [name, count(n), ...Array.from({ length: 6 }, () => NO_FIGURE)];
        return [
          name,
          count(n),
          clock(spread?.low ?? null),
          clock(q1),
          clock(median),
          clock(q3),
          clock(spread?.high ?? null),
          clock(mean),
        ];
      }),
    },
  };
}

/** Every two classes compared; `null` with fewer than two. */
export function pairwiseTable(finish: FinishFigures): TableData | null {
  if (finish.pairwise.length === 0) return null;
  return {
    caption: 'Every two classes compared by rank of finish time: Dunn’s test, p adjusted by Holm’s method',
    columns: ['Classes', 'z', 'p', 'adjusted p', 'Slower, if settled'],
    rows: finish.pairwise.map(({ a, b, z, p, adjustedP }) => [
      `${a} and ${b}`,
      decimal(z),
      pNumber(p),
      pNumber(adjustedP),
      adjustedP !== null && adjustedP < 0.05 && z !== null ? (z > 0 ? a : b) : 'not settled',
    ]),
  };
}

const QUARTERS = ['fastest quarter', 'second quarter', 'third quarter', 'slowest quarter'] as const;

/** The rearfoot share by quarter of the finish times; `null` when nobody is matched. */
export function quartersPicture(finish: FinishFigures, level: number): MarksPicture | null {
  if (!finish.quarters.cuts) return null;
  const { cuts, table } = finish.quarters;
  const few = hasFewInAQuarter(finish.quarters);
  const spans = [
    `up to ${clock(cuts[0] ?? null)}`,
    `to ${clock(cuts[1] ?? null)}`,
    `to ${clock(cuts[2] ?? null)}`,
    `over ${clock(cuts[2] ?? null)}`,
  ];
  const marks = table.map(([rearfoot = 0, other = 0]) => {
    const all = rearfoot + other;
    return all === 0 ? null : { value: rearfoot / all, ...wilsonInterval(rearfoot, all, level) };
  });
  return {
    kind: 'marks',
    style: 'bar',
    unit: 'share',
    id: 'rearfoot-by-finish-quarter',
    title: 'Rearfoot share by quarter of the finish times',
    label: `Rearfoot share: ${QUARTERS.map((name, i) => `${name} ${percent(marks[i]?.value ?? null)}`).join('; ')}.`,
    axisTitle: `rearfoot share of the matched finishers; ${levelText(level)} intervals`,
    rows: QUARTERS.map((name, i) => (few ? capital(name) : `${capital(name)}, ${spans[i]}`)),
    groups: [
      {
        name: 'rearfoot',
        tone: 'rearfoot',
        marks,
      },
    ],
    min: 0,
    max: 1,
    table: {
      caption: 'Rearfoot share by quarter of the matched finishers’ times',
      columns: [
        'Quarter',
        'Finish time',
        'Rearfoot',
        'Other classes',
        'Rearfoot share',
        `${levelText(level)} interval`,
      ],
      rows: QUARTERS.map((name, i) => [
        name,
        few ? '–' : (spans[i] ?? ''),
        count(table[i]?.[0] ?? 0),
        count(table[i]?.[1] ?? 0),
        percent(marks[i]?.value ?? null),
        orNone(percentRange(marks[i]?.low ?? null, marks[i]?.high ?? null)),
      ]),
    },
  };
}

/** What each term of the model does to the finish time, in percent; `null` without a model or with too few runners for it. */
export function modelPicture(finish: FinishFigures, level: number): MarksPicture | null {
  const model = finish.model;
  const terms = model?.terms.filter((term) => term.term !== '(intercept)') ?? [];
  if (!model || terms.length === 0 || !modelHolds(model)) return null;
  const share = (log: number): number => Math.expm1(log);
  return {
    kind: 'marks',
    style: 'point',
    unit: 'points',
    id: 'finish-time-model',
    title: `What goes with the finish time, in percent, with ${levelText(level)} intervals`,
    label: `Points with intervals. ${terms.map((term) => `${termName(term.term)}: ${decimal(share(term.estimate) * 100, 1)} percent`).join('; ')}.`,
    axisTitle: 'change of the finish time in percent',
    rows: terms.map((term) => termName(term.term)),
    groups: [
      {
        name: 'change of the finish time',
        tone: 'first',
        marks: terms.map((term) => ({ value: share(term.estimate), low: share(term.low), high: share(term.high) })),
      },
    ],
    reference: 0,
    table: {
      caption: `Model of ln(finish seconds): least squares, ${count(model.n)} runners, ${count(model.df)} df, R² = ${decimal(model.rSquared, 3)}`,
      columns: ['Term', 'Estimate', 'Standard error', 't', 'p', `${levelText(level)} interval`, 'As percent of time'],
      rows: model.terms.map((term) => [
        termName(term.term),
        decimal(term.estimate, 4),
        decimal(term.se, 4),
        decimal(term.t),
        pNumber(term.p),
        orNone(decimalRange(term.low, term.high, 4)),
        term.term === '(intercept)' ? '' : decimal(share(term.estimate) * 100, 1),
      ]),
    },
  };
}

/** A term of the model in words. */
export function termName(term: string): string {
  if (term === '(intercept)') return 'intercept';
  if (term === 'age') return 'a year older';
  if (term.startsWith('sex:')) return `sex ${term.slice(4)}`;
  return `${term}, against rearfoot`;
}
