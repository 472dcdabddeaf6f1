import { count, counted, decimal, percent, percentRange, pValue } from '../../words/numbers.ts';
import type { SessionScore } from '../../practice/practice-scores.ts';
import { PASS_EACH, PASS_MARK } from '../../practice/pass-mark.ts';

/** More than this is no race. */
const MOST_TIMES = 100;

/** The answer first: passed, not passed or neither, and what it rests on. */
export function passSentence({ pass, rearfoot }: SessionScore): string {
  const [first] = pass.why;
  if (first === 'tooFew') return `No verdict: it takes ${PASS_EACH} classed answers of each class, as the test has.`;
  if (first === 'notRaceLevel') return 'No verdict: this was slower or easier than a race.';
  if (pass.passed) return `Passed: Youden’s index is at least ${decimal(rearfoot.low)}, and ${PASS_MARK} is the mark.`;
  if (first === 'unseen') return 'Not passed: more than a tenth was not seen.';
  return `Not passed: Youden’s index may be as low as ${decimal(rearfoot.low)}, and ${PASS_MARK} is the mark.`;
}

/** What these eyes do to a race, a sentence each. */
export function scoreSentences(score: SessionScore): string[] {
  return [
    rearfootSentence(score),
    pairsSentence(score),
    feetSentence(score),
    driftSentence(score),
    paceSentence(score),
  ].filter((sentence) => sentence !== null);
}

function rearfootSentence({ rearfoot }: SessionScore): string | null {
  const { sensitivity, specificity } = rearfoot;
  if (sensitivity.share === null || specificity.share === null) return null;
  return `Of rearfoot landings ${percent(sensitivity.share)} were called rearfoot, of all others ${percent(1 - specificity.share)}.`;
}

function pairsSentence({ rearfoot }: SessionScore): string | null {
  const { pairsFactor } = rearfoot;
  if (pairsFactor === null) return null;
  const times = pairsFactor > MOST_TIMES ? `more than ${MOST_TIMES}` : decimal(pairsFactor, 1);
  return `To notice a shift, a race seen with these eyes needs ${times} times the runners that perfect eyes would need.`;
}

function feetSentence({ near, far, nearFar }: SessionScore): string | null {
  if (near.share === null || far.share === null) return null;
  const p = nearFar.p === null ? '' : ` (${pValue(nearFar.p)})`;
  return `Right on the near foot ${percent(near.share)}, on the far foot ${percent(far.share)}${p}.`;
}

function driftSentence({ drift }: SessionScore): string | null {
  if (drift.p === null) return null;
  const quarters = drift.table.map(([right, wrong]) => (right + wrong === 0 ? '–' : percent(right / (right + wrong))));
  return `From the first quarter to the last: ${quarters.join(', ')} right (trend ${pValue(drift.p)}).`;
}

function paceSentence({ time }: SessionScore): string | null {
  if (time.median === null) return null;
  return `Half of the answers came within ${decimal(time.median / 1000, 1)} s of contact; a bib takes longer.`;
}

/** Whether training may stop: said in training alone, since stopping on a good run flatters. */
export function sequentialSentence(sequential: SessionScore['sequential']): string | null {
  if (sequential.decision === 'pass') {
    return `After ${counted(sequential.at ?? 0, 'answer')} rearfoot was told apart as by eyes that are right in 95 %: go a level up, or to the test.`;
  }
  if (sequential.decision === 'fail') {
    return `After ${counted(sequential.at ?? 0, 'answer')} rearfoot was told apart as by eyes that are right in 85 % or less: stay at this level or go one down.`;
  }
  return null;
}

/** The shares with their limits, ready for a table. */
export function shareRows(score: SessionScore): string[][] {
  const parts = [
    ['All', score.agreement],
    ['Rearfoot', score.classes.rearfoot],
    ['Midfoot', score.classes.midfoot],
    ['Forefoot', score.classes.forefoot],
    ['Near foot', score.near],
    ['Far foot', score.far],
  ] as const;
  return parts
    .filter(([, part]) => part.n > 0)
    .map(([name, { count: right, n, share, low, high }]) => [
      name,
      count(right),
      count(n),
      percent(share),
      percentRange(low, high) ?? '–',
    ]);
}
