import { TREND_REASONS } from '../sections/shift/notes.ts';
import { FEW_RACES, LEAST_FOR_REGRESSION } from '../which-test.ts';
import type { NoGeeEstimate } from '../../stats/paired/exchangeable-gee.ts';
import type { Pooled, PooledEffect, PooledMean } from './pooled.ts';
import type { RaceCounts } from './race-counts.ts';
import { racesGivenTwice } from './races-given-twice.ts';

export const SAMPLE_OF_RACES =
  'Races are taken as a sample of like races, and a person in several races as a new one each time, but for the figures in runners.';
export const FEW_RACES_HINT =
  'With fewer than five races heterogeneity and prediction are hints; an interval of prediction from so few often misses.';

const EFFECTS = ['share', 'difference', 'oddsRatio', 'trend'] as const;
type EffectName = (typeof EFFECTS)[number];

/** Why a race has no such effect. */
const LEFT_OUT: Record<EffectName, string> = {
  share: 'nobody was classified at the early checkpoint',
  difference: 'nobody was classified at both checkpoints',
  oddsRatio: 'nobody turned to rearfoot or away from it',
  trend: 'there is no estimate of it with an error',
};

const named = (races: readonly string[]): string => races.join(', ');

/** The sentences a reader of pooled figures needs: what is assumed, what is left out, and why each `null` is one. */
export function poolNotes(
  pooled: Omit<Pooled, 'notes'>,
  races: readonly RaceCounts[],
  trendReason: NoGeeEstimate | null,
): string[] {
  return [
    SAMPLE_OF_RACES,
    ...(races.length < FEW_RACES ? [FEW_RACES_HINT] : []),
    ...racesGivenTwice(races),
    ...oneCheckpoint(races),
    ...EFFECTS.flatMap((name) => effectNotes(name, pooled[name], races)),
    ...halves(races),
    't and p of share are null: a share is not tested against one half.',
    ...regressionNotes(pooled),
    ...sameEyes(races),
    ...runnerNotes(pooled, trendReason),
  ];
}

function oneCheckpoint(races: readonly RaceCounts[]): string[] {
  const single = races.filter(({ late }) => late === null).map(({ race }) => race);
  return single.length > 0
    ? [`late, lateKm, paired, gained and lost are null, with one checkpoint, for ${named(single)}.`]
    : [];
}

function effectNotes(name: EffectName, effect: PooledEffect<PooledMean>, races: readonly RaceCounts[]): string[] {
  const notes: string[] = [];
  const having = new Set(effect.rows.map(({ race }) => race));
  const out = races.filter(({ race }) => !having.has(race)).map(({ race }) => race);
  if (out.length > 0) notes.push(`Left out of ${name}, as ${LEFT_OUT[name]}: ${named(out)}.`);
  if (effect.races === 0) return [...notes, `All figures of ${name} are null: no race has it.`];
  if (effect.races === 1) return [...notes, `All figures of ${name} but its row are null: one race has it.`];
  if (effect.races === 2) {
    notes.push(`The prediction of ${name} is null and leaveOneOut empty: two races have it, and three are needed.`);
  }
  if (effect.tau2 === 0) notes.push(`tau2 of ${name} is 0: no heterogeneity seen is not none.`);
  const beyond = Object.entries(effect.pooled).filter(
    ([member, value]) => member.startsWith('oddsRatio') && value === null && !member.includes('Prediction'),
  );
  if (beyond.length > 0 || isPredictionBeyond(effect)) {
    notes.push(`An odds ratio of ${name} is null: it is beyond what a number can hold.`);
  }
  return [...notes, ...turningPoints(name, effect)];
}

function isPredictionBeyond({ pooled, races }: PooledEffect<PooledMean>): boolean {
  return (
    races > 2 &&
    Object.entries(pooled).some(([member, value]) => member.startsWith('oddsRatioPrediction') && value === null)
  );
}

/** Where an interval lies: below no change, about it, above it. */
const side = (low: number | null, high: number | null): number => (high! < 0 ? -1 : low! > 0 ? 1 : 0);

function turningPoints(name: EffectName, { leaveOneOut, pooled }: PooledEffect<PooledMean>): string[] {
  if (name !== 'difference' && name !== 'oddsRatio') return [];
  const all = side(pooled.low, pooled.high);
  const turning = leaveOneOut.filter(({ low, high }) => side(low, high) !== all).map(({ race }) => race);
  if (turning.length === 0) return [];
  const what = all === 0 ? 'no longer takes in no change' : 'takes in no change, or lies beyond it';
  return [`Without a single race the interval of ${name} ${what}: ${named(turning)}.`];
}

function halves(races: readonly RaceCounts[]): string[] {
  const inShare = races.filter(({ classified: n, rearfoot: x }) => n > 0 && (x === 0 || x === n));
  const inRatio = races.filter(
    ({ gained: b, lost: c }) => b !== null && c !== null && b + c > 0 && (b === 0 || c === 0),
  );
  const say = (found: readonly RaceCounts[], where: string, why: string): string[] =>
    found.length > 0 ? [`½ was added in ${where}, as ${why}, to ${named(found.map(({ race }) => race))}.`] : [];
  return [
    ...say(inShare, 'share', 'all classified runners were rearfoot or none was'),
    ...say(inRatio, 'oddsRatio', 'runners changed one way only'),
  ];
}

function regressionNotes({ difference, oddsRatio }: Omit<Pooled, 'notes'>): string[] {
  const notes = ['metaRegression of share and trend is null: it is asked of difference and oddsRatio.'];
  for (const [name, effect] of [
    ['difference', difference],
    ['oddsRatio', oddsRatio],
  ] as const) {
    if (effect.metaRegression) continue;
    notes.push(
      effect.races < LEAST_FOR_REGRESSION
        ? `metaRegression of ${name} is null: it needs ten races.`
        : `metaRegression of ${name} is null: the checkpoints of all races lie equally far apart.`,
    );
  }
  return notes;
}

function sameEyes(races: readonly RaceCounts[]): string[] {
  const apart = races.filter(({ commonObservers }) => commonObservers === 0).map(({ race }) => race);
  return apart.length > 0
    ? [
        `No observer saw runners at both checkpoints, so any difference there may be the observers', in ${named(apart)}.`,
      ]
    : [];
}

function runnerNotes({ runners }: Omit<Pooled, 'notes'>, trendReason: NoGeeEstimate | null): string[] {
  if (!runners) return ['runners is null: races were given as findings, which hold no runner.'];
  const notes: string[] = [];
  if (runners.coded === 0) notes.push('No results have a runner code: nobody is followed over races.');
  const { trend } = runners;
  if (trend.coefficient === null) {
    const why = trend.observations === 0 ? 'nobody was classified' : TREND_REASONS[trendReason ?? 'not converged'];
    notes.push(`The estimates of trend in runners are null: ${why}.`);
  } else if (trend.alpha === null) {
    notes.push('alpha of trend in runners is null: nobody was classified twice, so sightings count as independent.');
  }
  return notes;
}
