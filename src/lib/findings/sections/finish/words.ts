import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import type { Findings, FinishFigures, FinishModel, ModelTerm } from '../../findings.ts';
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
} from '../../sentences-numbers.ts';
import { say, strong, type Sentence } from '../../sentences-parts.ts';
import { NOT_SETTLED, place, settles, type SectionWords } from '../../sentences-section.ts';

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
  const model = modelSentence(finish.model, level);
  const pairs = pairsSentence(finish);
  return {
    lead: lead(findings, finish, level),
    tests: [
      { question: 'Could it be chance?', answer: overall(finish) },
      ...(pairs ? [{ question: 'Which classes differ?', answer: pairs }] : []),
      { question: 'Rearfoot against the rest?', answer: against(finish) },
      { question: 'From fast to slow?', answer: quarters(finish) },
      { question: 'With age and sex taken in?', answer: model },
    ],
    remarks: [
      say`Going with a finish time is not causing it: speed itself moves the foot, and so do shoe, slope and fatigue.`,
    ],
  };
}

const filled = (finish: FinishFigures): RunnerClass[] => RUNNER_CLASSES.filter((name) => finish.groups[name].n > 0);

function lead(findings: Findings, finish: FinishFigures, level: number): Sentence {
  const byMedian = filled(finish).sort(
    (a, b) =>
      (finish.groups[a].median ?? 0) - (finish.groups[b].median ?? 0) || finish.groups[b].n - finish.groups[a].n,
  );
  const fastest = byMedian[0]!;
  const slowest = byMedian.at(-1)!;
  const who = say`Of ${strong(counted(finish.matched, 'finisher'))} classified at ${place(findings, finish.by)}`;
  const named = (name: RunnerClass): Sentence =>
    say`${strong(clock(finish.groups[name].median))} (${name}, ${count(finish.groups[name].n)} runners)`;
  if (byMedian.length === 1)
    return say`${who}, all were ${fastest}, with a median finish of ${named(fastest)}: there is no class to compare with.`;
  const medians =
    finish.groups[fastest].median === finish.groups[slowest].median
      ? say`${who}, the classes have the same median finish, ${strong(clock(finish.groups[fastest].median))}`
      : say`${who}, the median finish ran from ${named(fastest)} to ${named(slowest)}`;
  const model = largestContrast(finish);
  const effect = model ? say`; ${contrast(finish.model!, model, level)}` : say``;
  return settles(finish.kruskalWallis.p)
    ? say`${medians}${effect}.`
    : say`${medians}${effect}; ${strong('the data do not settle')} whether class goes with time.`;
}

/** The model's term for the largest class beside rearfoot. */
function largestContrast(finish: FinishFigures): ModelTerm | undefined {
  const classes = (['midfoot', 'forefoot', 'asymmetric'] as const)
    .filter((name) => finish.groups[name].n > 0)
    .sort((a, b) => finish.groups[b].n - finish.groups[a].n);
  return finish.model?.terms.find((term) => term.term === classes[0]);
}

/** A term of ln(seconds) as percent of time. */
const asPercent = (log: number): number => Math.expm1(log);

function contrast(model: FinishModel, term: ModelTerm, level: number): Sentence {
  const held = covariates(model);
  const equal = held.length > 0 ? `with ${listed(held)} held equal, ` : '';
  const change = asPercent(term.estimate);
  const size =
    Math.abs(change) < 0.0005
      ? `${term.term} runners took as long as rearfoot runners`
      : `${term.term} runners took ${percent(Math.abs(change))} ${change < 0 ? 'less' : 'more'} time than rearfoot runners`;
  return say`${equal}${size} (${levelText(level)} interval ${decimal(asPercent(term.low) * 100, 1)} to ${decimal(asPercent(term.high) * 100, 1)} %)`;
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
  const meaning = `class accounts for ${percent(test.epsilonSquared)} of the spread in ranks`;
  return settles(test.p)
    ? say`chance alone would set the classes this far apart in ${chanceWords(test.p)}; ${meaning} (${figures}).`
    : say`${NOT_SETTLED}; ${meaning} (${figures}).`;
}

function pairsSentence({ pairwise }: FinishFigures): Sentence | null {
  if (pairwise.length < 2) return null;
  const tested = pairwise.filter((pair) => pair.adjustedP !== null);
  if (tested.length === 0) return say`no two classes can be compared, as all times are the same.`;
  const apart = tested.filter((pair) => settles(pair.adjustedP));
  const method = `Dunn’s test, ${count(tested.length)} comparisons, Holm’s adjustment`;
  if (apart.length === 0) return say`for no two of them do the data settle it (${method}).`;
  const each = apart.map((pair) => {
    const [slower, faster] = (pair.z ?? 0) > 0 ? [pair.a, pair.b] : [pair.b, pair.a];
    return `${slower} runners finished later than ${faster} runners (${pValue(pair.adjustedP)})`;
  });
  const rest = apart.length < tested.length ? '; for the other pairs the data do not settle it' : '';
  return say`${listed(each)}${rest} (${method}).`;
}

function against({ rearfootAgainstRest: test }: FinishFigures): Sentence {
  if (test.p === null || test.cliffsDelta === null) {
    return say`${count(test.rearfoot)} rearfoot runners and ${count(test.rest)} others do not allow a test.`;
  }
  const slower = percent((test.cliffsDelta + 1) / 2);
  const figures = `Mann–Whitney U = ${decimal(test.statistic, 1)}, ${pValue(test.p)}; Cliff’s δ = ${decimal(test.cliffsDelta)}`;
  const meaning = say`taking one of ${count(test.rearfoot)} rearfoot runners and one of ${counted(test.rest, 'other')}, the rearfoot runner is the slower in ${slower} of pairs, ties half (${figures})`;
  return settles(test.p) ? say`${meaning}.` : say`${meaning}: ${NOT_SETTLED}.`;
}

function quarters({ quarters: test }: FinishFigures): Sentence {
  if (test.table.filter(([rearfoot = 0, other = 0]) => rearfoot + other > 0).length < 2) {
    return say`all times fall into one quarter, so there is nothing to compare.`;
  }
  const shares = test.table.map(([rearfoot = 0, other = 0]) =>
    rearfoot + other === 0 ? 'none' : `${percent(rearfoot / (rearfoot + other))} of ${count(rearfoot + other)}`,
  );
  const opening = say`from the fastest quarter to the slowest, rearfoot was ${listed(shares)}`;
  if (test.trend.p === null) return say`${opening}; a trend cannot be tested.`;
  const figures = `trend χ² = ${decimal(test.trend.statistic)}, 1 df, ${pValue(test.trend.p)}; any difference χ² = ${decimal(test.statistic)}, ${count(test.df)} df, ${pValue(test.p)}`;
  return settles(test.trend.p)
    ? say`${opening} (${figures}).`
    : say`${opening} (${figures}): the data do not settle a trend.`;
}

function modelSentence(model: FinishModel | null, level: number): Sentence {
  if (!model)
    return say`the model cannot be fitted: it needs rearfoot runners, differing times and more runners than terms.`;
  const terms = model.terms.filter(({ term }) => ['midfoot', 'forefoot', 'asymmetric'].includes(term));
  const held = covariates(model);
  const base = `least squares of ln(time), ${counted(model.n, 'runner')}${held.length > 0 ? `, ${listed(held)} in the model` : ', the results give neither age nor sex'}, R² = ${decimal(model.rSquared, 3)}`;
  if (terms.length === 0) return say`no class beside rearfoot is in the model (${base}).`;
  const each = terms.map(
    (term) =>
      `${term.term} ${signedPercent(term.estimate)} (${decimal(asPercent(term.low) * 100, 1)} to ${decimal(asPercent(term.high) * 100, 1)} %)`,
  );
  return say`finish time against rearfoot runners: ${listed(each)}, intervals at ${levelText(level)} (${base}).`;
}

function signedPercent(log: number): string {
  const text = decimal(asPercent(log) * 100, 1);
  return `${log > 0 && /[1-9]/.test(text) ? '+' : ''}${text}\u00a0%`;
}
