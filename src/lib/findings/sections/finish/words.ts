import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import type { Findings } from '../../findings.ts';
import type { FinishFigures, FinishModel, ModelTerm, PairwiseComparison } from './figures.ts';
import {
  chanceWords,
  clock,
  count,
  counted,
  decimal,
  levelText,
  listed,
  percent,
  pValue,
} from '../../../words/numbers.ts';
import { asAside, aside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { NO_CAUSE_OF_TIME } from '../../sentences/sentences-cautions.ts';
import { NOT_SETTLED, place, settles, type SectionWords } from '../../sentences/sentences-section.ts';
import { pearsonChiSquareTest } from '../../../stats/contingency/pearson-chi-square-test.ts';
import { holmAdjustment } from '../../../stats/ranks/holm-adjustment.ts';
import { isSparse, LEAST_GROUP, LEAST_RUNNERS, RUNNERS_PER_TERM } from '../../which-test.ts';
import { modelHolds } from './model-holds.ts';

/** Class at the early checkpoint against finish time. */
export function finishWords(findings: Findings, level: number): SectionWords {
  const finish = findings.finish;
  if (!finish) {
    return {
      lead: say`Finish times need the results: without them no class can be set against a time.`,
      tests: [],
      remarks: [],
    };
  }
  if (finish.matched === 0) {
    return {
      lead: say`None of the runners classified at ${place(findings, finish.by)} has a finish time in the results, so classes and times cannot be compared.`,
      tests: [],
      remarks: [],
    };
  }
  if (finish.matched < LEAST_RUNNERS) return { lead: lead(findings, finish, level), tests: [], remarks: [] };
  const model = modelSentence(finish, level);
  const pairs = pairsSentence(finish);
  return {
    cause: say`${NO_CAUSE_OF_TIME}`,
    lead: lead(findings, finish, level),
    tests: [
      { question: 'Could it be chance?', answer: overall(finish) },
      // The headline has the contrasts that are settled, the tables every one.
      ...(pairs ? [{ question: 'Which classes differ?', answer: asAside(pairs) }] : []),
      { question: 'Rearfoot against the rest?', answer: asAside(against(finish)) },
      // The picture has the shares.
      { question: 'From fast to slow?', answer: asAside(quarters(finish)) },
      { question: 'With age and sex taken in?', answer: model },
    ],
    remarks: [],
  };
}

/** Whether class goes with finish time, in one sentence without the times. */
export function finishShort(findings: Findings, level: number): Sentence {
  const { finish } = findings;
  if (!finish || finish.matched < LEAST_RUNNERS || shown(finish).length < 2) return finishWords(findings, level).lead;
  return say`Among ${strong(counted(finish.matched, 'finisher'))}, ${verdict(finish, level)}.`;
}

/** Classes with enough runners for a time of their own. */
const shown = (finish: FinishFigures): RunnerClass[] =>
  RUNNER_CLASSES.filter((name) => finish.groups[name].n >= LEAST_GROUP);

function lead(findings: Findings, finish: FinishFigures, level: number): Sentence {
  const who = say`Of ${strong(counted(finish.matched, 'finisher'))} classified at ${place(findings, finish.by)}`;
  const byMedian = shown(finish).sort(
    (a, b) =>
      (finish.groups[a].median ?? 0) - (finish.groups[b].median ?? 0) || finish.groups[b].n - finish.groups[a].n,
  );
  const [fastest, slowest] = [byMedian[0], byMedian.at(-1)];
  if (finish.matched < LEAST_RUNNERS || !fastest || !slowest) {
    return say`${who}, too few are of one class to compare times: that takes ${count(LEAST_RUNNERS)} finishers and ${count(LEAST_GROUP)} in a class.`;
  }
  const named = (name: RunnerClass): string =>
    `${clock(finish.groups[name].median)} (${name}, ${counted(finish.groups[name].n, 'runner')})`;
  if (fastest === slowest)
    return say`${who}, ${strong(count(finish.groups[fastest].n))} were ${fastest}, with a median finish of ${strong(clock(finish.groups[fastest].median))}: there is no other class large enough to compare with.`;
  const medians =
    finish.groups[fastest].median === finish.groups[slowest].median
      ? `the classes have the same median finish, ${clock(finish.groups[fastest].median)}; `
      : `the median finish ran from ${named(fastest)} to ${named(slowest)}; `;
  // The picture has the medians.
  return say`${who}, ${aside(medians)}${verdict(finish, level)}.`;
}

/** The settled contrasts, or that none is. */
function verdict(finish: FinishFigures, level: number): string | Sentence {
  const settled = finish.model && modelHolds(finish.model) ? settledTerms(finish, finish.model) : null;
  const said =
    settled === null
      ? settledPairs(finish).map(laterThan)
      : settled.length > 0
        ? [`${contrasts(finish.model!, settled, level)}${openClasses(finish, settled)}`]
        : [];
  if (settles(finish.kruskalWallis.p)) {
    return said.length > 0
      ? listed(said)
      : 'taken together the classes differ, but no single contrast between two classes is settled';
  }
  const open = say`${strong('the data do not settle')} whether class goes with time`;
  return said.length > 0 ? say`${open} over all classes, though ${listed(said)}` : open;
}

/** The class terms of the model that hold after Holm's adjustment over the classes, in class order. */
function settledTerms(finish: FinishFigures, model: FinishModel): ModelTerm[] {
  const tested = classTerms(finish, model).filter(({ p }) => p !== null);
  const adjusted = holmAdjustment(tested.map(({ p }) => p!));
  return tested.filter((_, i) => settles(adjusted[i]!));
}

/** The classes whose difference from the rearfoot stays open beside those that are settled. */
function openClasses(finish: FinishFigures, settled: readonly ModelTerm[]): string {
  const open = shown(finish).filter((name) => name !== 'rearfoot' && !settled.some(({ term }) => term === name));
  return open.length === 0 ? '' : `; for ${listed(open)} no difference is settled`;
}

/** Terms of the classes that have enough runners to be spoken of. */
function classTerms(finish: FinishFigures, model: FinishModel): ModelTerm[] {
  return model.terms.filter(({ term }) => shown(finish).some((name) => name === term));
}

/** Pairs of classes, each with enough runners, that Dunn's test settles. */
function settledPairs(finish: FinishFigures): PairwiseComparison[] {
  const classes = shown(finish);
  return finish.pairwise.filter(
    ({ a, b, adjustedP }) => settles(adjustedP) && classes.includes(a) && classes.includes(b),
  );
}

function laterThan({ a, b, z, adjustedP }: PairwiseComparison): string {
  const [slower, faster] = (z ?? 0) > 0 ? [a, b] : [b, a];
  return `${slower} runners finished later than ${faster} runners (${pValue(adjustedP)})`;
}

/** A term of ln(seconds) as percent of time. */
const asPercent = (log: number): number => Math.expm1(log);

function contrasts(model: FinishModel, terms: readonly ModelTerm[], level: number): string {
  const held = covariates(model);
  const equal = held.length > 0 ? `with ${listed(held)} held equal, ` : '';
  const each = terms.map((term, i) => {
    const change = asPercent(term.estimate);
    const interval = `${i === 0 ? `${levelText(level)} interval ` : ''}${amountRange(asPercent(term.low), asPercent(term.high))}`;
    return `${term.term} runners took ${percent(Math.abs(change))} ${change < 0 ? 'less' : 'more'} time than rearfoot runners (${interval})`;
  });
  return `${equal}${listed(each)}`;
}

/** The ends of an interval of change; without signs where both go the way that the sentence says. */
function amountRange(low: number, high: number): string {
  const [from, to] = low > 0 ? [low, high] : high < 0 ? [-high, -low] : [low, high];
  return `${decimal(from * 100, 1)} to ${decimal(to * 100, 1)} %`;
}

function covariates(model: FinishModel): string[] {
  return [
    ...(model.terms.some((term) => term.term === 'age') ? ['age'] : []),
    ...(model.terms.some((term) => term.term.startsWith('sex:')) ? ['sex'] : []),
  ];
}

function overall({ kruskalWallis: test }: FinishFigures): Sentence {
  if (test.p === null) return say`the times of two or more classes that are not all the same are needed for a test.`;
  const figures = `Kruskal–Wallis H = ${decimal(test.statistic)}, ${count(test.df)} df, ${pValue(test.p)}; ε² = ${decimal(test.epsilonSquared, 3)}`;
  const meaning = `class accounts for ${percent(test.epsilonSquared)} of the spread in finish order`;
  return settles(test.p)
    ? say`chance alone would set the classes this far apart in ${chanceWords(test.p)}; ${meaning}${aside(` (${figures})`)}.`
    : say`${NOT_SETTLED}; ${meaning}${aside(` (${figures})`)}.`;
}

function pairsSentence(finish: FinishFigures): Sentence | null {
  if (finish.pairwise.length < 2 || shown(finish).length < 2) return null;
  const tested = finish.pairwise.filter((pair) => pair.adjustedP !== null);
  if (tested.length === 0) return say`no two classes can be compared, as all times are the same.`;
  const apart = settledPairs(finish);
  const method = aside(` (Dunn’s test, ${count(tested.length)} comparisons, Holm’s adjustment)`);
  if (apart.length === 0) return say`for no two of them do the data settle it${method}.`;
  const rest = apart.length < tested.length ? '; for the other pairs the data do not settle it' : '';
  return say`${listed(apart.map(laterThan))}${rest}${method}.`;
}

function against({ rearfootAgainstRest: test }: FinishFigures): Sentence {
  if (test.p === null || test.cliffsDelta === null) {
    return say`${counted(test.rearfoot, 'rearfoot runner')} and ${counted(test.rest, 'other')} do not allow a test.`;
  }
  if (Math.min(test.rearfoot, test.rest) < LEAST_GROUP) {
    return say`${counted(test.rearfoot, 'rearfoot runner')} and ${counted(test.rest, 'other')} are too few to compare: each side takes ${count(LEAST_GROUP)}.`;
  }
  const slower = percent((test.cliffsDelta + 1) / 2);
  const figures = `Mann–Whitney U = ${decimal(test.statistic, 1)}, ${pValue(test.p)}; Cliff’s δ = ${decimal(test.cliffsDelta)}`;
  const meaning = say`taking one of ${count(test.rearfoot)} rearfoot runners and one of ${counted(test.rest, 'other')}, the rearfoot runner is the slower in ${slower} of pairs${aside(`, ties half (${figures})`)}`;
  return settles(test.p) ? say`${meaning}.` : say`${meaning}: ${NOT_SETTLED}.`;
}

function quarters({ quarters: test }: FinishFigures): Sentence {
  if (test.table.filter(([rearfoot = 0, other = 0]) => rearfoot + other > 0).length < 2) {
    return say`all times fall into one quarter, so there is nothing to compare.`;
  }
  const shares = test.table.map(([rearfoot = 0, other = 0]) =>
    rearfoot + other === 0
      ? 'none'
      : `${rearfoot + other < LEAST_RUNNERS ? count(rearfoot) : percent(rearfoot / (rearfoot + other))} of ${count(rearfoot + other)}`,
  );
  const opening = say`from the fastest quarter to the slowest, rearfoot was ${listed(shares)}`;
  if (test.trend.p === null) return say`${opening}; a trend cannot be tested.`;
  const small = test.trend.exactP !== null && isSparse(pearsonChiSquareTest(test.table));
  const p = small ? test.trend.exactP : test.trend.p;
  const exact = test.trend.exactP === null ? '' : `exact ${pValue(test.trend.exactP)}`;
  const chi = `χ² = ${decimal(test.trend.statistic)}, 1 df, ${pValue(test.trend.p)}`;
  const trend = small ? `${exact}, read first as counts are small; ${chi}` : [chi, exact].filter(Boolean).join('; ');
  const figures = `trend ${trend}; any difference χ² = ${decimal(test.statistic)}, ${count(test.df)} df, ${pValue(test.p)}`;
  const tested = say`${opening}${aside(` (${figures})`)}`;
  return settles(p) ? say`${tested}.` : say`${tested}: the data do not settle a trend.`;
}

function modelSentence(finish: FinishFigures, level: number): Sentence {
  const { model } = finish;
  if (!model)
    return say`the model cannot be fitted: it needs rearfoot runners, differing times and more runners than terms.`;
  if (!modelHolds(model)) {
    return say`${counted(model.n, 'runner is', 'runners are')} too few for a model of ${count(model.terms.length)} terms: it takes ${count(RUNNERS_PER_TERM)} for each.`;
  }
  const terms = classTerms(finish, model);
  const held = covariates(model);
  const base = say`${aside('least squares of ln(time), ')}${counted(model.n, 'runner')}${held.length > 0 ? `, ${listed(held)} in the model` : ', the results give neither age nor sex'}${aside(`, R² = ${decimal(model.rSquared, 3)}`)}`;
  if (terms.length === 0) return say`no class beside rearfoot has enough runners in the model (${base}).`;
  const each = terms.map(
    (term) =>
      `${term.term} ${signedPercent(term.estimate)} (${decimal(asPercent(term.low) * 100, 1)} to ${decimal(asPercent(term.high) * 100, 1)} %)`,
  );
  // The picture and the table beside it say the same figures.
  return asAside(
    say`finish time against rearfoot runners: ${listed(each)}, intervals at ${levelText(level)} (${base}).`,
  );
}

function signedPercent(log: number): string {
  const text = decimal(asPercent(log) * 100, 1);
  return `${log > 0 && /[1-9]/.test(text) ? '+' : ''}${text}\u00a0%`;
}
