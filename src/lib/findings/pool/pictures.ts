import { normalUpperQuantile } from '../../stats/distributions.ts';
import {
  decimal,
  levelText,
  orNone,
  percent,
  percentNumber,
  percentRange,
  pointRange,
  ratio,
  ratioRange,
  signedPoints,
} from '../../words/numbers.ts';
import type { TableData } from '../series-picture.ts';
import type { Pooled, PooledEffect, PooledMean } from './pooled.ts';

export interface ForestMark {
  readonly name: string;
  readonly kind: 'race' | 'mean' | 'prediction';
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
  /** Share of the mean that is this race's; 0 for the mean and the prediction. */
  readonly weight: number;
  /** Estimate and interval as they are written beside the plot. */
  readonly words: string;
}

/** A forest plot, ready to draw: races in order, then the pooled mean, then where a further race may lie. */
export interface ForestPicture {
  readonly id: string;
  readonly title: string;
  /** What a person who does not see it is told. */
  readonly label: string;
  readonly axis: string;
  readonly rows: readonly ForestMark[];
  /** No change, drawn as a line; `null` where there is none. */
  readonly reference: number | null;
  readonly from: number;
  readonly to: number;
  readonly ticks: readonly { readonly at: number; readonly text: string }[];
  /** From a value to its place on an even axis: a ratio's is its logarithm. */
  scale(value: number): number;
  readonly table: TableData;
  /** The mean without each race in turn. */
  readonly leaveOneOut: TableData | null;
}

/** How one effect is written and drawn. */
interface EffectLook {
  readonly id: string;
  readonly title: string;
  readonly axis: string;
  readonly reference: number | null;
  /** From the scale of the model to the one that is shown. */
  back(value: number): number;
  written(value: number): string;
  range(low: number, high: number): string | null;
  readonly isRatio: boolean;
}

const LOOKS: Record<'share' | 'difference' | 'oddsRatio' | 'trend', EffectLook> = {
  difference: {
    id: 'season-shift',
    title: 'Shift of the rearfoot share, late less early',
    axis: 'points of percent',
    reference: 0,
    // The interval of a few pairs may reach beyond what a difference of shares can be.
    back: (value) => Math.min(1, Math.max(-1, value)),
    written: signedPoints,
    range: pointRange,
    isRatio: false,
  },
  share: {
    id: 'season-share',
    title: 'Rearfoot share at the early checkpoint',
    axis: 'percent of the classified runners',
    reference: null,
    back: (value) => 1 / (1 + Math.exp(-value)),
    written: percent,
    range: percentRange,
    isRatio: false,
  },
  trend: {
    id: 'season-trend',
    title: 'Odds of landing on the rearfoot, for each 10 km further',
    axis: 'odds ratio, even steps are doublings',
    reference: 1,
    back: Math.exp,
    written: ratio,
    range: ratioRange,
    isRatio: true,
  },
  oddsRatio: {
    id: 'season-odds',
    title: 'Runners who turned to the rearfoot for each one who turned away',
    axis: 'ratio, even steps are doublings',
    reference: 1,
    back: Math.exp,
    written: ratio,
    range: ratioRange,
    isRatio: true,
  },
};

/** A forest plot for each effect that a race has. */
export const forestPictures = (pooled: Pooled, level: number): ForestPicture[] =>
  forestMakers(pooled, level).map((make) => make());

/** As {@link forestPictures}, each picture when it is asked for: of two hundred races one takes some milliseconds. */
export function forestMakers(pooled: Pooled, level: number): (() => ForestPicture)[] {
  return (['difference', 'share', 'trend', 'oddsRatio'] as const)
    .filter((name) => pooled[name].races > 0)
    .map((name) => () => forestPicture(pooled[name], LOOKS[name], level));
}

function forestPicture(effect: PooledEffect<PooledMean>, look: EffectLook, level: number): ForestPicture {
  const rows = marksOf(effect, look, level);
  const { from, to, ticks } = look.isRatio ? doublings(rows) : evenSteps(rows, look);
  const mean = rows.find(({ kind }) => kind === 'mean');
  return {
    id: look.id,
    title: look.title,
    label: `Forest plot of ${effect.races === 1 ? 'one race' : `${effect.races} races`}: ${look.title.toLowerCase()}. ${mean ? `Pooled ${mean.words}.` : ''}`,
    axis: look.axis,
    rows,
    reference: look.reference,
    ...{ from, to, ticks },
    scale: look.isRatio ? (value) => Math.log2(value) : (value) => value,
    table: tableOf(rows, look, level),
    leaveOneOut: leaveOneOutTable(effect, look, level),
  };
}

function marksOf({ rows, pooled }: PooledEffect<PooledMean>, look: EffectLook, level: number): ForestMark[] {
  const z = normalUpperQuantile((1 - level) / 2);
  const mark = (name: string, kind: ForestMark['kind'], middle: number, low: number, high: number, weight: number) => {
    const ends = [look.back(low), look.back(high)] as const;
    const range = orNone(look.range(...ends));
    const words = kind === 'prediction' ? range : `${look.written(look.back(middle))}  (${range})`;
    return { name, kind, estimate: look.back(middle), low: ends[0], high: ends[1], weight, words };
  };
  const marks = rows.map(({ race, estimate, se, weight }) =>
    mark(race, 'race', estimate, estimate - z * se, estimate + z * se, weight),
  );
  const { estimate, low, high, predictionLow, predictionHigh } = pooled;
  if (estimate !== null) marks.push(mark('All together', 'mean', estimate, low!, high!, 0));
  if (estimate !== null && predictionLow !== null) {
    marks.push(mark('A further race', 'prediction', estimate, predictionLow, predictionHigh!, 0));
  }
  return marks;
}

/** Most that an axis of ratios shows either way; an interval beyond it ends in an arrow. */
const MOST_DOUBLINGS = 5;

function doublings(rows: readonly ForestMark[]) {
  const logs = rows.flatMap(({ low, high }) => [Math.log2(low), Math.log2(high)]).filter(Number.isFinite);
  const least = Math.max(-MOST_DOUBLINGS, Math.min(-1, Math.floor(Math.min(...logs))));
  const most = Math.min(MOST_DOUBLINGS, Math.max(1, Math.ceil(Math.max(...logs))));
  // No more labels than a phone has room for; 1 is always one of them.
  const every = most - least > 6 ? 2 : 1;
  const ticks = Array.from({ length: most - least + 1 }, (_, i) => least + i)
    .filter((doubling) => doubling % every === 0)
    .map((doubling) => 2 ** doubling);
  return {
    from: 2 ** least,
    to: 2 ** most,
    ticks: ticks.map((at) => ({ at, text: at < 1 ? `1/${Math.round(1 / at)}` : String(at) })),
  };
}

/** With one race or two an interval may be wider than anything that can be: the axis keeps to what races show. */
function evenSteps(rows: readonly ForestMark[], look: EffectLook) {
  const shown = rows.filter(({ kind }) => kind === 'race');
  const ends = shown.flatMap(({ low, high }) => [low, high]);
  const means = rows.filter(({ kind }) => kind !== 'race').flatMap(({ low, high }) => [low, high]);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const room = Math.max(most - least, 0.1);
  const low = Math.max(least - room / 2, Math.min(least, ...means));
  const high = Math.min(most + room / 2, Math.max(most, ...means));
  const step = [0.01, 0.02, 0.05, 0.1, 0.2].find((size) => (high - low) / size <= 6) ?? 0.5;
  const isShare = look.reference === null;
  const from = Math.max(isShare ? 0 : -1, Math.floor(low / step) * step);
  const to = Math.min(1, Math.ceil(high / step) * step);
  const ticks: { at: number; text: string }[] = [];
  for (let i = Math.ceil(from / step - 1e-9); i * step <= to + 1e-9; i += 1) {
    ticks.push({ at: i * step, text: isShare ? percentTick(i * step) : decimal(i * step * 100, 0) });
  }
  return { from, to, ticks };
}

const percentTick = (share: number): string => percentNumber(Number(share.toFixed(6))).replace('.0', '');

function tableOf(rows: readonly ForestMark[], look: EffectLook, level: number): TableData {
  return {
    caption: `${look.title} (${look.axis}), ${levelText(level)} intervals`,
    columns: ['Race', 'Estimate', 'Interval', 'Weight'],
    rows: rows.map(({ name, kind, estimate, low, high, weight }) => [
      name,
      kind === 'prediction' ? '' : look.written(estimate),
      orNone(look.range(low, high)),
      kind === 'race' ? percent(weight) : '',
    ]),
  };
}

function leaveOneOutTable(
  { leaveOneOut }: PooledEffect<PooledMean>,
  look: EffectLook,
  level: number,
): TableData | null {
  if (leaveOneOut.length === 0) return null;
  return {
    caption: `${look.title}: all together without one race, ${levelText(level)} intervals`,
    columns: ['Without', 'All together', 'Interval', 'I²'],
    rows: leaveOneOut.map(({ race, estimate, low, high, i2 }) => [
      race,
      look.written(look.back(estimate)),
      orNone(look.range(look.back(low), look.back(high))),
      percent(i2),
    ]),
  };
}
