import type { NoGeeEstimate } from '../stats/exchangeable-gee.ts';
import { pearsonChiSquareTest } from '../stats/pearson-chi-square-test.ts';
import { MOST_SEX_LEVELS, type NoModel } from './sections/finish/figures.ts';
import type { Agreement, Coverage, Findings, FinishFigures, RaterPair, Shift } from './findings.ts';
import { correctedNotes } from './sections/corrected/notes.ts';
import { mayBeTheObservers } from './sections/shift/observers-doubt.ts';
import { gaitNotes } from './sections/gait/notes.ts';
import { liveAgainstClipNotes } from './sections/live-against-clip/notes.ts';
import { FEW_CHANGES, LEAST_EXPECTED, testReasons } from './which-test.ts';

/** With fewer runners than this seen at both checkpoints little can be said of a shift (common practice, no source). */
const FEW_PAIRS = 20;

/** What the sections know of their nulls beyond the figures themselves. */
export interface NullReasons {
  trend: NoGeeEstimate | null;
  model: NoModel | null;
  /** Validated runners in the smallest stratum that the corrected difference rests on. */
  fewestInPairs: number | null;
}

/** Why there is no trend. */
export const TREND_REASONS: Record<NoGeeEstimate, string> = {
  'one outcome': 'all classified runners are rearfoot, or none is',
  'one covariate value': 'classified runners were seen at one distance only',
  separated: 'rearfoot and other runners do not overlap in distance',
  'improper correlation':
    'the working correlation within runners comes out beyond what a correlation can be (nobody changes, or everybody does)',
  'not converged': 'the estimate does not settle within 200 rounds',
};

const MODEL_REASONS: Record<NoModel, string> = {
  'no rearfoot runner': 'no rearfoot runner, the reference class, has all it takes',
  'equal times': 'all finish times are equal',
  'no degree of freedom': 'there are no more runners than terms',
  'perfect fit': 'the terms fit the times without any rest, and a perfect fit has no error to judge by',
  'too many sex levels': `the column sex has more than ${MOST_SEX_LEVELS} different values and is likely another column`,
};

const one = (n: number, word: string): string => `${n} ${word}${n === 1 ? '' : 's'}`;
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** The sentences a reader of the findings needs: what to read first, what is doubtful, and why each `null` is one. */
export function notesOn(findings: Omit<Findings, 'notes'>, reasons: NullReasons): string[] {
  const whole: Findings = { ...findings, notes: [] };
  return [
    ...inputNotes(whole),
    ...shareNotes(whole),
    ...(findings.shift
      ? shiftNotes(findings.shift, findings.shares, reasons)
      : [
          'shift is null: sightings were made at one checkpoint only, and a shift needs an early and a late one. No trend over distance either.',
        ]),
    ...(findings.finish ? finishNotes(findings.finish, reasons) : []),
    ...agreementNotes(findings.agreement),
    ...(findings.coverage ? coverageNotes(findings.coverage) : []),
    ...correctedNotes(findings.corrected, reasons.fewestInPairs),
    ...gaitNotes(findings.gait, findings.gaitChange),
    ...liveAgainstClipNotes(findings.liveAgainstClip),
    ...testReasons(whole),
  ];
}

function inputNotes({ inputs, finish }: Findings): string[] {
  const notes: string[] = [];
  const { excluded, matched, unmatchedBibs } = inputs;
  if (excluded.noBib > 0) {
    notes.push(`Left out of every figure because nobody read a bib: ${one(excluded.noBib, 'sighting')}.`);
  }
  if (excluded.repeats > 0) {
    notes.push(
      `Replaced by a later entry of the same observer for the same runner at the same checkpoint: ${one(excluded.repeats, 'sighting')}.`,
    );
  }
  if (excluded.passed > 0) {
    notes.push(
      `Let pass by the sampling rule and counted, not looked at: ${one(excluded.passed, 'sighting')}. They are in no share and no test.`,
    );
  }
  if (excluded.sameRecord > 0) notes.push(`Records met again and counted once: ${one(excluded.sameRecord, 'row')}.`);
  if (!finish) {
    notes.push(
      'finish, coverage and the counts of results, matched and unmatchedBibs are null: no results were given.',
    );
  } else if (unmatchedBibs) {
    notes.push(
      `Sighted bibs that are not in the results: ${unmatchedBibs} of ${unmatchedBibs + (matched ?? 0)}; misread, or runners without a result.`,
    );
  }
  return notes;
}

function shareNotes({ shares }: Findings): string[] {
  return shares
    .filter(({ classified }) => classified === 0)
    .map(({ checkpoint }) => `Shares at ${checkpoint} are null: nobody was classified there.`);
}

function shiftNotes(shift: Shift, shares: Findings['shares'], reasons: NullReasons): string[] {
  const notes: string[] = [];
  if (shift.commonObservers === 0) {
    notes.push(
      `No observer saw runners at both ${shift.early} and ${shift.late}: any difference between them may be the observers'.`,
    );
  } else if (mayBeTheObservers(shift)) {
    notes.push(
      `Only ${shift.sameObserver.pairs} of ${one(shift.paired, 'pair')} ${shift.sameObserver.pairs === 1 ? 'was' : 'were'} seen by the same observer at both ${shift.early} and ${shift.late}: any difference between them may be the observers'.`,
    );
  }
  notes.push(...orderNotes(shift, shares), ...sameObserverNotes(shift));
  notes.push(...pairedNotes(shift), ...sampleNotes(shift));
  const { cochranQ, trend } = shift;
  if (!cochranQ) notes.push('cochranQ is null: it needs three checkpoints or more.');
  else if (cochranQ.p === null) {
    const why =
      cochranQ.runners === 0
        ? 'no runner was classified at every checkpoint'
        : `each of the ${cochranQ.runners} runners classified at every checkpoint stayed rearfoot or stayed not`;
    notes.push(`The test in cochranQ is null: ${why}.`);
  }
  if (trend.coefficient === null) {
    const why = trend.observations === 0 ? 'nobody was classified' : TREND_REASONS[reasons.trend ?? 'not converged'];
    notes.push(`The estimates of trend are null: ${why}.`);
  } else if (trend.alpha === null) {
    notes.push(
      'alpha of trend is null: no runner was classified at two checkpoints, so sightings count as independent.',
    );
  }
  return notes;
}

function orderNotes({ early, late }: Shift, shares: Findings['shares']): string[] {
  const km = (name: string): number => shares.find(({ checkpoint }) => checkpoint === name)?.km ?? 0;
  if (km(early) === km(late)) {
    return [`${early} and ${late} are both at ${km(early)} km: shift compares two places, not early with late.`];
  }
  return km(early) > km(late)
    ? [`${early} (${km(early)} km) is taken as early though it lies after ${late} (${km(late)} km).`]
    : [];
}

function sameObserverNotes({ sameObserver, paired }: Shift): string[] {
  const { pairs, gained, lost } = sameObserver;
  if (paired === 0) return [];
  if (pairs === 0) return ['The figures of sameObserver are null: no observer saw one runner at both checkpoints.'];
  if (gained + lost === 0) {
    return [
      'The odds ratio and mcnemar of sameObserver are null: none of these runners turned to rearfoot or away from it.',
    ];
  }
  return lost === 0
    ? ['oddsRatio and oddsRatioHigh of sameObserver are null: nobody among these runners left rearfoot.']
    : [];
}

function pairedNotes({ early, late, paired, rearfoot, marginalHomogeneity, symmetry }: Shift): string[] {
  const notes: string[] = [];
  const changed = rearfoot.gained + rearfoot.lost;
  if (paired === 0) {
    return [`No runner was classified at both ${early} and ${late}: shares, intervals and tests on pairs are null.`];
  }
  if (paired < FEW_PAIRS) {
    notes.push(`Only ${one(paired, 'runner')} classified at both ${early} and ${late}: too few for more than a hint.`);
  }
  if (changed === 0) {
    notes.push('The odds ratio and mcnemar are null: no runner turned to rearfoot or away from it.');
  } else {
    if (changed < FEW_CHANGES) notes.push(`Only ${one(changed, 'runner')} turned to rearfoot or away from it.`);
    if (rearfoot.lost === 0) {
      notes.push('oddsRatio and oddsRatioHigh are null: nobody left rearfoot, so the ratio has no upper bound.');
    }
  }
  if (marginalHomogeneity.p === null) notes.push('marginalHomogeneity is null: no runner changed class.');
  if (symmetry.p === null) notes.push('symmetry is null: no runner changed class.');
  return notes;
}

function sampleNotes({ early, late, independent, attrition }: Shift): string[] {
  const notes: string[] = [];
  if (independent.p === null) {
    notes.push(
      `The tests in independent are null: ${early} and ${late} do not both have classified runners, or all are of one class.`,
    );
  } else {
    if ((independent.minExpected ?? Infinity) < LEAST_EXPECTED) {
      notes.push(
        `independent has an expected count of ${independent.minExpected?.toFixed(2)}, below ${LEAST_EXPECTED}: its chi-square p is doubtful.`,
      );
    }
    if (independent.exactP === null) {
      notes.push('exactP of independent is null: more than 20 million tables have these margins.');
    }
  }
  if (independent.overlap === null) notes.push('overlap is null: nobody was classified at either checkpoint.');
  else if (independent.overlap > 0) {
    notes.push(
      `${percent(independent.overlap)} of the runners in independent are in both samples, which that test takes for separate.`,
    );
  }
  if (attrition.p === null) {
    notes.push(
      'The test in attrition is null: of the runners classified early all or none were classified late, or all are of one class.',
    );
  } else if ((pearsonChiSquareTest(attrition.table).minExpected ?? Infinity) < LEAST_EXPECTED) {
    notes.push(`attrition has an expected count below ${LEAST_EXPECTED}: its p is doubtful.`);
  }
  return notes;
}

function finishNotes(finish: FinishFigures, reasons: NullReasons): string[] {
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
  } else if ((pearsonChiSquareTest(quarters.table).minExpected ?? Infinity) < LEAST_EXPECTED) {
    notes.push(`quarters has an expected count below ${LEAST_EXPECTED}: its chi-square p is doubtful.`);
  }
  notes.push(...exactTrendNotes(finish));
  if (reasons.model) notes.push(`model is null: ${MODEL_REASONS[reasons.model]}.`);
  else if (finish.model && finish.model.n < finish.matched) {
    notes.push(`model leaves out ${one(finish.matched - finish.model.n, 'runner')} with no age or sex in the results.`);
  }
  return notes;
}

function exactTrendNotes({ quarters: { trend, p, table } }: FinishFigures): string[] {
  if (p === null) return [];
  if (trend.exactP === null) return ['exactP of the trend in quarters is null: the counts are too large to need it.'];
  return (pearsonChiSquareTest(table).minExpected ?? Infinity) < LEAST_EXPECTED
    ? ['With small expected counts read exactP of the trend in quarters, not its p.']
    : [];
}

/** `A and B`, or how many pairs of raters and the first of them. */
function pairNames(pairs: readonly RaterPair[]): string {
  const first = `${pairs[0]?.a} and ${pairs[0]?.b}`;
  return pairs.length === 1 ? first : `${pairs.length} pairs of raters (${first}, …)`;
}

function agreementNotes({ pairs, alpha }: Agreement): string[] {
  if (pairs.length === 0) {
    return ['pairs is empty and alpha null: no two raters classed the same foot of the same runner.'];
  }
  const notes: string[] = [];
  const say = (which: (pair: RaterPair) => boolean, sentence: string): void => {
    const found = pairs.filter(which);
    if (found.length > 0) notes.push(`${sentence} for ${pairNames(found)}.`);
  };
  const figures = ({ kappa, weightedKappa, ac1 }: RaterPair) => [kappa, weightedKappa, ac1];
  say(({ kappa }) => kappa.estimate === null, 'kappa is null (both named one and the same class only)');
  say(
    (pair) => figures(pair).some(({ estimate, low }) => estimate !== null && low === null),
    'An agreement figure has no interval (nothing varied, and no variation seen is no certainty)',
  );
  say(
    (pair) =>
      figures(pair).some(({ estimate, low, clusterLow }) => estimate !== null && low !== null && clusterLow === null),
    'clusterLow and clusterHigh are null (nothing varied between runners)',
  );
  if (alpha.estimate === null) notes.push('alpha is null: one class only was named.');
  return notes;
}

function coverageNotes({ finishers, checkpoints }: Coverage): string[] {
  if (finishers === 0) {
    return ['coverage has no shares: nobody in the results has a finish.'];
  }
  const notes: string[] = [];
  if (checkpoints[0]?.quarterShare.includes(null)) {
    notes.push('quarterShare is null for a quarter without a finisher (tied times); it has no weight.');
  }
  const names = (found: Coverage['checkpoints']): string => found.map(({ checkpoint }) => checkpoint).join(', ');
  const unseen = checkpoints.filter(({ standardisedRearfoot }) => standardisedRearfoot === null);
  if (unseen.length > 0) {
    notes.push(
      `standardisedRearfoot is null at ${names(unseen)}: a quarter of the finishers has nobody classified there.`,
    );
  }
  const steady = checkpoints.filter(({ standardisedRearfoot: s }) => s !== null && s.low === null);
  if (steady.length > 0) {
    notes.push(
      `standardisedRearfoot has no interval at ${names(steady)}: within each quarter all are rearfoot or none is, and no variation seen is no certainty.`,
    );
  }
  return notes;
}
