import type { Findings } from '../../../src/lib/findings/findings.ts';

/** Which note must be there for a `null` at a path; the first pattern that fits the path counts. */
const REASONS: readonly (readonly [path: RegExp, note: RegExp])[] = [
  [/^\.inputs\./, /no results were given/],
  [/^\.(finish|coverage)$/, /no results were given/],
  [/^\.shares\./, /^Shares at .* are null/],
  [/^\.shift$/, /^shift is null/],
  [/^\.shift\.rearfoot\.(oddsRatio|mcnemar)/, /odds ratio and mcnemar are null|oddsRatioHigh are null|both .* null/],
  [/^\.shift\.rearfoot\./, /No runner was classified at both/],
  [/^\.shift\.sameObserver\.(oddsRatio|mcnemar)/, /of sameObserver are null|No runner was classified at both/],
  [/^\.shift\.sameObserver\./, /figures of sameObserver are null|No runner was classified at both/],
  [/^\.shift\.marginalHomogeneity/, /marginalHomogeneity is null|No runner was classified at both/],
  [/^\.shift\.symmetry/, /symmetry is null|No runner was classified at both/],
  [/^\.shift\.independent\.exactP/, /exactP of independent is null|tests in independent are null/],
  [/^\.shift\.independent\.overlap/, /overlap is null/],
  [/^\.shift\.independent/, /tests in independent are null/],
  [/^\.shift\.attrition/, /test in attrition is null/],
  [/^\.shift\.cochranQ$/, /cochranQ is null/],
  [/^\.shift\.cochranQ\./, /test in cochranQ is null/],
  [/^\.shift\.trend\./, /estimates of trend are null|alpha of trend is null/],
  [/^\.finish\.groups/, /Times are null for|No runner classified at .* has a finish/],
  [/^\.finish\.(kruskalWallis|pairwise)/, /kruskalWallis and pairwise|No runner classified at .* has a finish/],
  [/^\.finish\.rearfootAgainstRest/, /rearfootAgainstRest (is|are) null|of rearfootAgainstRest is null|has a finish/],
  [
    /^\.finish\.quarters\.trend\.exactP/,
    /exactP of the trend in quarters is null|tests in quarters are null|has a finish/,
  ],
  [/^\.finish\.quarters/, /tests in quarters are null|No runner classified at .* has a finish/],
  [/^\.finish\.model$/, /^model is null|No runner classified at .* has a finish/],
  [/^\.agreement\.pairs\.\d+\.(kappa|weightedKappa)\.(estimate|se)/, /kappa is null/],
  [/^\.agreement\.pairs/, /kappa is null|has no interval|clusterLow and clusterHigh are null/],
  [/^\.agreement\.alpha/, /alpha is null|alpha null/],
  [/^\.corrected$/, /^corrected is null/],
  [/^\.corrected\.validation$/, /^validation is null/],
  [/^\.corrected\.validation\.checkpoints/, /of validation at .* (are|is) null/],
  [/^\.corrected\.validation\.difference/, /difference of validation (is|are) null/],
  [/^\.corrected\.practice$/, /^practice is null/],
  [/^\.corrected\.practice\.checkpoints/, /of practice at .* (are|is) null/],
  [/^\.corrected\.practice\.difference/, /difference of practice (is|are) null/],
  [/^\.coverage\.checkpoints\.\d+\.(share|quarterShare)/, /quarterShare is null|nobody in the results has a finish/],
  [/^\.coverage\.checkpoints\.\d+\.standardisedRearfoot$/, /standardisedRearfoot is null|nobody in the results/],
  [/^\.coverage\.checkpoints\.\d+\.standardisedRearfoot\./, /standardisedRearfoot has no interval/],
  [/^\.gait(Change)?$/, /gait and gaitChange are null|gaitChange is null/],
  [/^\.gait(Change)?\./, /a figure of nobody is null/],
  [/^\.liveAgainstClip$/, /liveAgainstClip is null/],
  [/^\.liveAgainstClip\./, /A share or coefficient of no feet is null/],
];

function nullPaths(value: unknown, path = ''): string[] {
  if (value === null) return [path];
  if (typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([name, part]) => nullPaths(part, `${path}.${name}`));
}

/** Paths of the findings that are `null` without a note that says why. */
export function unexplainedNulls(findings: Findings): string[] {
  return nullPaths({ ...findings, notes: [] }).filter((path) => {
    const note = REASONS.find(([where]) => where.test(path))?.[1];
    return !note || !findings.notes.some((text) => note.test(text));
  });
}
