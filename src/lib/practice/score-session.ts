import { FOOT_CLASSES } from '../records/foot.ts';
import { cohenKappa, identityWeights, linearWeights } from '../stats/agreement/cohen-kappa.ts';
import { describeSample } from '../stats/samples/describe-sample.ts';
import { gwetAc1 } from '../stats/agreement/gwet-ac1.ts';
import { pearsonChiSquareTest } from '../stats/contingency/pearson-chi-square-test.ts';
import { sequentialRatioTest } from '../stats/proportions/sequential-ratio-test.ts';
import { trendInProportionsTest } from '../stats/contingency/trend-in-proportions-test.ts';
import { atMix } from './at-mix.ts';
import { countedShare } from './counted-share.ts';
import type { Answer, KeyItem } from './key-and-answers.ts';
import type { FootSide } from './landing.ts';
import { passMark } from './pass-mark.ts';
import type { Mix } from './practice-levels.ts';
import type { AnswerTable, ChiSquare, Coefficient, CountedShare, SessionScore } from './practice-scores.ts';
import { rearfootEye } from './rearfoot-eye.ts';
import { scoreNotes } from './score-notes.ts';

/** An answer beside what the key says. */
interface Marked {
  readonly answer: Answer;
  readonly key: KeyItem;
}

/** Shares of right answers that the sequential test tells apart: rearfoot or not. */
export const SEQUENTIAL = { low: 0.85, high: 0.95, error: 0.05 } as const;
const DRIFT_PARTS = 4;
const KAPPA_WEIGHTS = { plain: identityWeights(3), linear: linearWeights(3) };

/**
 * Scores one observer's session.
 *
 * @param answers the session's, one an item, in order of showing; at least one
 * @param keyOf what the key says of an item
 * @param missing items of the key that the session did not answer
 * @param mix weights of the classes, sum 1
 */
export function scoreSession(
  answers: readonly Answer[],
  keyOf: (item: string) => KeyItem,
  missing: number,
  mix: Mix,
  level: number,
): SessionScore {
  const shown = answers.map((answer): Marked => ({ answer, key: keyOf(answer.item) }));
  const classed = shown.filter(({ answer }) => answer.answer !== 'unseen');
  const table = answerTable(classed);
  const basis = shown.some(({ key }) => key.level !== null) ? 'drawn' : 'clips';
  const unseen = shown.length - classed.length;
  const rearfoot = rearfootEye(table, mix, level);
  const near = ofFoot(classed, 'near', level);
  const far = ofFoot(classed, 'far', level);
  const score = {
    observer: answers[0]!.observer,
    session: answers[0]!.session,
    basis,
    shown: shown.length,
    classed: classed.length,
    unseen,
    missing,
    table,
    agreement: countedShare(classed.filter(isRight).length, classed.length, level),
    kappa: coefficient(cohenKappa(table, KAPPA_WEIGHTS.plain, level)),
    weightedKappa: coefficient(cohenKappa(table, KAPPA_WEIGHTS.linear, level)),
    ac1: coefficient(gwetAc1(table, level)),
    classes: ofClasses(table, level),
    rearfoot,
    near,
    far,
    nearFar: chiSquare(pearsonChiSquareTest([near, far].map(({ count, n }) => [count, n - count]))),
    atMix: atMix(table, mix, level),
    time: responseTimes(answers),
    drift: drift(classed),
    sequential: sequential(classed),
    pass: passMark({ basis, shown: shown.map(({ key }) => key), unseen, table, low: rearfoot.low }, mix),
    calibration: {
      basis,
      answers: table,
      unseen: FOOT_CLASSES.map((name) => shown.filter((one) => isUnseen(one) && one.key.class === name).length),
    },
  } as const;
  return { ...score, notes: scoreNotes(score) };
}

const isRight = ({ answer, key }: Marked): boolean => answer.answer === key.class;
const isUnseen = ({ answer }: Marked): boolean => answer.answer === 'unseen';

function answerTable(classed: readonly Marked[]): AnswerTable {
  const table = [0, 1, 2].map(() => [0, 0, 0]);
  const place = (name: string) => FOOT_CLASSES.findIndex((one) => one === name);
  for (const { answer, key } of classed) table[place(key.class)]![place(answer.answer)]! += 1;
  return table;
}

function ofClasses(table: AnswerTable, level: number): SessionScore['classes'] {
  const of = (c: number): CountedShare => {
    const row = table[c]!;
    return countedShare(row[c]!, row[0]! + row[1]! + row[2]!, level);
  };
  return { rearfoot: of(0), midfoot: of(1), forefoot: of(2) };
}

function ofFoot(classed: readonly Marked[], foot: FootSide, level: number): CountedShare {
  const of = classed.filter(({ key }) => key.foot === foot);
  return countedShare(of.filter(isRight).length, of.length, level);
}

const coefficient = ({ estimate, se, low, high }: Coefficient): Coefficient => ({ estimate, se, low, high });
const chiSquare = ({ statistic, df, p }: ChiSquare): ChiSquare => ({ statistic, df, p });

/** Response times of all answers shown. What a minute could hold is a lower bound of a runner's cost: no bib is typed. */
function responseTimes(answers: readonly Answer[]): SessionScore['time'] {
  const { n, median, q1, q3 } = describeSample(answers.map(({ responseMs }) => responseMs));
  return { n, median, q1, q3, perMinute: median !== null && median > 0 ? 60_000 / median : null };
}

/** Right and wrong answers in four parts by order of showing, and whether they rise or fall. */
function drift(classed: readonly Marked[]): SessionScore['drift'] {
  const table = Array.from({ length: DRIFT_PARTS }, (): [number, number] => [0, 0]);
  classed.forEach((one, i) => {
    table[Math.floor((DRIFT_PARTS * i) / classed.length)]![isRight(one) ? 0 : 1] += 1;
  });
  const trend = trendInProportionsTest(
    table.map(([right]) => right),
    table.map(([right, wrong]) => right + wrong),
  );
  return { table, ...chiSquare(trend) };
}

const DECISIONS = { high: 'pass', low: 'fail', open: 'open' } as const;

function sequential(classed: readonly Marked[]): SessionScore['sequential'] {
  return sequentialDecision(
    classed.map(({ answer, key }) => (answer.answer === 'rearfoot') === (key.class === 'rearfoot')),
  );
}

/**
 * Whether a training may end early: Wald's test, rearfoot or not right with 0.85 against 0.95. Never for a pass: stopping on
 * a good run flatters.
 *
 * @param right of each classed answer in order, whether rearfoot was told from anything else
 */
export function sequentialDecision(right: readonly boolean[]): SessionScore['sequential'] {
  const { decision, at, logRatio } = sequentialRatioTest(right, SEQUENTIAL.low, SEQUENTIAL.high, SEQUENTIAL.error);
  return { decision: DECISIONS[decision], at, logRatio };
}
