import type { Findings } from './findings.ts';

/**
 * With fewer runners who changed than this, the exact and mid-p values lead and the chi-square follows (common practice,
 * no source for the number itself; the large-sample form needs many changes).
 */
export const FEW_CHANGES = 25;

/** Below this expected count a chi-square approximation is doubtful (common practice, no source). */
export const LEAST_EXPECTED = 5;

/** A class of fewer runners shows no time and no contrast: it would be a person's (common practice, no source). */
export const LEAST_GROUP = 5;

/** Below this many runners a share is given as a count, and times are not compared (common practice, no source). */
export const LEAST_RUNNERS = 10;

/** A model needs this many runners for each of its terms (common practice, no source). */
export const RUNNERS_PER_TERM = 10;

/**
 * With fewer clusters than this the robust variance of a GEE comes out too small (common practice, no source for the
 * number itself).
 */
export const FEW_CLUSTERS = 40;

/** With fewer runners than this seen at both checkpoints little can be said of a shift (common practice, no source). */
export const FEW_PAIRS = 20;

/** With fewer races than this heterogeneity and prediction are hints (contract of the figures). */
export const FEW_RACES = 5;

/** With fewer races than this the distance between the checkpoints is no explanation that could be told from chance. */
export const LEAST_FOR_REGRESSION = 10;

/** Whether the exact and mid-p values of McNemar's test lead. */
export const exactLeads = ({ gained, lost }: { readonly gained: number; readonly lost: number }): boolean =>
  gained + lost < FEW_CHANGES;

/** Whether a chi-square p is doubtful: the exact one is read first. */
export const isSparse = ({ minExpected }: { readonly minExpected: number | null }): boolean =>
  minExpected !== null && minExpected < LEAST_EXPECTED;

/** Whether a quarter of the finish times has so few runners that its bounds would be a person's time. */
export const hasFewInAQuarter = ({ table }: { readonly table: readonly (readonly number[])[] }): boolean =>
  table.some(([rearfoot = 0, other = 0]) => rearfoot + other > 0 && rearfoot + other < LEAST_GROUP);

export interface TestChoice {
  /** What a reader wants to know. */
  readonly question: string;
  /** Where the answer stands in the findings. */
  readonly figure: string;
  readonly procedure: string;
  /** Why this one: a sentence for the notes. */
  readonly reason: string;
  /** Whether the question arises in these findings. */
  readonly arises: (findings: Findings) => boolean;
}

/**
 * Which test answers which question. This is the one place where that is decided; the notes say it to the reader, and
 * sentences ask the functions above which of two values leads.
 */
export const WHICH_TEST: readonly TestChoice[] = [
  {
    question: 'Did the same runners turn to the rearfoot, or away from it?',
    figure: 'shift.rearfoot.mcnemar',
    procedure: 'McNemar, with exact and mid-p values',
    reason:
      'The shift is judged by the paired tests first: a runner seen at both checkpoints is their own comparison, and only runners who changed tell anything. The test on two separate samples counts such runners twice as if they were strangers, and stands second.',
    arises: ({ shift }) => shift !== null && shift.paired > 0,
  },
  {
    question: 'Is that so with only a few who changed?',
    figure: 'shift.rearfoot.mcnemar.midP',
    procedure: 'exact binomial and mid-p',
    reason: `With fewer than ${FEW_CHANGES} runners who changed, read exactP or midP: the chi-square form of McNemar's test is for many changes and comes out too small.`,
    arises: ({ shift }) => {
      if (!shift) return false;
      const { gained, lost } = shift.rearfoot;
      return gained + lost > 0 && exactLeads(shift.rearfoot);
    },
  },
  {
    question: 'Did the four classes together become more or less frequent in the same runners?',
    figure: 'shift.marginalHomogeneity',
    procedure: 'Stuart–Maxwell, with Bowker beside it',
    reason:
      'Stuart–Maxwell asks whether the classes are as frequent late as early; Bowker asks whether each move is balanced by its opposite. They look at the same runners as McNemar does and are no second proof of the same shift.',
    arises: ({ shift }) => (shift?.marginalHomogeneity.p ?? null) !== null,
  },
  {
    question: 'Do the runners of the two checkpoints differ, taken as two samples?',
    figure: 'shift.independent',
    procedure: 'Pearson chi-square, or the exact test with small expected counts',
    reason: `Where an expected count is below ${LEAST_EXPECTED}, exactP is to be read before the chi-square p, where it could be computed.`,
    arises: ({ shift }) => shift !== null && isSparse(shift.independent),
  },
  {
    question: 'Does the rearfoot share rise with distance?',
    figure: 'shift.trend',
    procedure: 'logistic GEE with runners as clusters, Cochran Q in runners seen everywhere',
    reason:
      'Over all checkpoints the trend takes the sightings of one runner together (clusters); Cochran Q looks only at runners classified at every checkpoint.',
    arises: ({ shift }) => shift?.trend.coefficient != null && shift.cochranQ !== null,
  },
  {
    question: 'Which classes finish faster?',
    figure: 'finish.pairwise',
    procedure: 'Kruskal–Wallis, then Dunn with Holm adjustment',
    reason:
      'Finish times are compared by ranks, as they are skewed and tied. Several comparisons are made at once, so read adjustedP (Holm), not p. A class that goes along with a finish time need not be its cause.',
    arises: ({ finish }) => (finish?.pairwise[0]?.p ?? null) !== null,
  },
  {
    question: 'How far can the observers be trusted?',
    figure: 'agreement.pairs',
    procedure: 'agreement, kappa and AC1 together',
    reason:
      'Read agreement, kappa, AC1 and the table together: where nearly all feet are of one class, chance agreement is high and kappa low even if the observers hardly ever differ. The intervals to report are clusterLow and clusterHigh, as an error often hits both feet of a runner.',
    arises: ({ agreement }) => agreement.pairs.length > 0,
  },
];

/** The reasons that apply to these findings, in the order of the questions. */
export function testReasons(findings: Findings): string[] {
  return WHICH_TEST.filter(({ arises }) => arises(findings)).map(({ reason }) => reason);
}
