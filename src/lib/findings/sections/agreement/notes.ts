import type { Agreement, RaterPair } from './figures.ts';

/** `A and B`, or how many pairs of raters and the first of them. */
function pairNames(pairs: readonly RaterPair[]): string {
  const first = `${pairs[0]?.a} and ${pairs[0]?.b}`;
  return pairs.length === 1 ? first : `${pairs.length} pairs of raters (${first}, …)`;
}

export function agreementNotes({ pairs, alpha }: Agreement): string[] {
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
