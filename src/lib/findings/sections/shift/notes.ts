import type { NoGeeEstimate } from '../../../stats/paired/exchangeable-gee.ts';
import { pearsonChiSquareTest } from '../../../stats/contingency/pearson-chi-square-test.ts';
import type { Findings } from '../../findings.ts';
import type { Shift } from './figures.ts';
import { one, plainPercent } from '../../note-words.ts';
import { exactLeads, FEW_PAIRS, isSparse, LEAST_EXPECTED } from '../../which-test.ts';
import { mayBeTheObservers } from './observers-doubt.ts';

/** Why there is no trend. */
export const TREND_REASONS: Record<NoGeeEstimate, string> = {
  'one outcome': 'all classified runners are rearfoot, or none is',
  'one covariate value': 'classified runners were seen at one distance only',
  separated: 'rearfoot and other runners do not overlap in distance',
  'improper correlation':
    'the working correlation within runners comes out beyond what a correlation can be (nobody changes, or everybody does)',
  'not converged': 'the estimate does not settle within 200 rounds',
};

/** Why there is no section on a shift. */
export const NO_SHIFT =
  'shift is null: sightings were made at one checkpoint only, and a shift needs an early and a late one. No trend over distance either.';

/** @param noTrend why the trend has no estimate, where it has none */
export function shiftNotes(shift: Shift, shares: Findings['shares'], noTrend: NoGeeEstimate | null): string[] {
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
    const why = trend.observations === 0 ? 'nobody was classified' : TREND_REASONS[noTrend ?? 'not converged'];
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
    if (exactLeads(rearfoot)) notes.push(`Only ${one(changed, 'runner')} turned to rearfoot or away from it.`);
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
    if (isSparse(independent)) {
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
      `${plainPercent(independent.overlap)} of the runners in independent are in both samples, which that test takes for separate.`,
    );
  }
  if (attrition.p === null) {
    notes.push(
      'The test in attrition is null: of the runners classified early all or none were classified late, or all are of one class.',
    );
  } else if (isSparse(pearsonChiSquareTest(attrition.table))) {
    notes.push(`attrition has an expected count below ${LEAST_EXPECTED}: its p is doubtful.`);
  }
  return notes;
}
