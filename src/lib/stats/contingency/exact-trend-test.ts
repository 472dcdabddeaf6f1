import { logBinomialDensity } from '../distributions.ts';
import { requireCount, requireNumber } from '../require-number.ts';

export interface ExactTrendResult {
  readonly method: 'Exact test for trend in proportions';
  /** Number of trials in all groups. */
  readonly n: number;
  /** Two-sided; `null` where it cannot be computed. */
  readonly p: number | null;
}

/** With more of the rarer outcome than this the ways to share it out are not counted. */
const MOST_RARER = 300;

/**
 * Exact test for trend in proportions (conditional on the margins).
 *
 * For small counts, where the chi-square test for trend is doubtful. Of all ways to share the rarer outcome out among
 * the groups it sums the probability (multivariate hypergeometric) of those whose sum of scores lies at least as far
 * from its mean as the observed one. The distances are compared in whole numbers, so ties are exact.
 *
 * How: the groups are parted in two halves. Of each half the densities are listed by how many it takes and by its sum of
 * scores; running sums over one list then answer each entry of the other. Terms are binomial densities, whose logarithms
 * stay small.
 *
 * Source: A. Agresti, Categorical Data Analysis (2013), section 3.5: exact conditional tests with scores; two-sided by
 * distance from the mean, as the exact linear-by-linear test of R's package coin.
 *
 * @param successes x_i of each group, 0 ≤ x_i ≤ n_i
 * @param trials n_i; an empty group is left out and the others keep their scores
 * @param scores a small whole number of at least 0 for each group; by default 1, 2, 3, …
 * `null` with fewer than two groups that have trials, with scores that are all equal, where all or none succeed, and
 * with more than 300 of the rarer outcome.
 * @throws RangeError for lengths that differ, counts or scores that are not whole, or x_i > n_i
 *
 * @example
 * exactTrendTest([1, 0, 3], [4, 4, 4]); // { n: 12, p: 0.2788, … }
 */
export function exactTrendTest(
  successes: readonly number[],
  trials: readonly number[],
  scores: readonly number[] = trials.map((_, i) => i + 1),
): ExactTrendResult {
  if (successes.length !== trials.length || scores.length !== trials.length) {
    throw new RangeError('successes, trials and scores differ in length');
  }
  for (const [i, trial] of trials.entries()) {
    requireCount(scores[i]!, 'scores');
    requireNumber(requireCount(successes[i]!, 'successes'), 'successes', 0, requireCount(trial, 'trials'));
  }
  const method = 'Exact test for trend in proportions';
  const held = [...trials.keys()].filter((i) => trials[i]! > 0);
  const n = sum(held.map((i) => trials[i]!));
  const succeeded = sum(successes);
  const rarer = Math.min(succeeded, n - succeeded);
  const scoresVary = new Set(held.map((i) => scores[i]!)).size > 1;
  if (rarer === 0 || rarer > MOST_RARER || !scoresVary) return Object.freeze({ method, n, p: null });
  const groups = held.map((i) => ({
    trials: trials[i]!,
    score: scores[i]!,
    rarer: succeeded === rarer ? successes[i]! : trials[i]! - successes[i]!,
  }));
  return Object.freeze({ method, n, p: tailOf(groups, n, rarer) });
}

interface Group {
  readonly trials: number;
  readonly score: number;
  /** Of the rarer outcome. */
  readonly rarer: number;
}

const sum = (values: readonly number[]): number => values.reduce((all, value) => all + value, 0);

/** The total probability of the sums of scores that lie as far from their mean as the observed one, or farther. */
function tailOf(groups: readonly Group[], n: number, rarer: number): number {
  const centre = rarer * sum(groups.map(({ trials, score }) => trials * score));
  const observed = Math.abs(n * sum(groups.map((group) => group.rarer * group.score)) - centre);
  const lowest = Math.floor((centre - observed) / n);
  const highest = Math.max(Math.ceil((centre + observed) / n), lowest + 1);
  const middle = groups.length >> 1;
  const first = fillings(groups.slice(0, middle), n, rarer);
  const second = fillings(groups.slice(middle), n, rarer);
  let p = 0;
  for (const [taken, sums] of first.entries()) {
    const rest = second[rarer - taken]!;
    const below = runningSums(rest);
    const above = runningSums(rest.toReversed()).reverse();
    for (let scoreSum = 0; scoreSum < sums.length; scoreSum += 1) {
      const density = sums[scoreSum]!;
      if (density === 0) continue;
      p += density * (below[Math.min(lowest - scoreSum, below.length - 1)] ?? 0);
      p += density * (above[Math.max(highest - scoreSum, 0)] ?? 0);
    }
  }
  return Math.min(1, p / Math.exp(logBinomialDensity(rarer, n, rarer / n)));
}

/** For each number taken from these groups, 0 … rarer, the density of each sum of scores. */
function fillings(groups: readonly Group[], n: number, rarer: number): Float64Array[] {
  const most = Math.max(...groups.map(({ score }) => score));
  const none = (): Float64Array[] =>
    Array.from({ length: rarer + 1 }, (_, taken) => new Float64Array(taken * most + 1));
  let held = none();
  held[0]![0] = 1;
  for (const { trials, score } of groups) {
    const next = none();
    const density = Float64Array.from({ length: Math.min(trials, rarer) + 1 }, (_, x) =>
      Math.exp(logBinomialDensity(x, trials, rarer / n)),
    );
    held.forEach((sums, taken) => {
      const last = Math.min(trials, rarer - taken);
      for (let scoreSum = 0; scoreSum < sums.length; scoreSum += 1) {
        const before = sums[scoreSum]!;
        if (before === 0) continue;
        for (let x = 0; x <= last; x += 1) next[taken + x]![scoreSum + x * score]! += before * density[x]!;
      }
    });
    held = next;
  }
  return held;
}

function runningSums(values: Float64Array): Float64Array {
  let running = 0;
  return values.map((value) => (running += value));
}
