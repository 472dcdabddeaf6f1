import type { Race, SamplingRule } from '../../race/race.ts';
import { whoIsDue } from '../../race/rule-words.ts';
import type { SingleFootRule } from '../../sightings/runner-classes.ts';
import type { Findings } from '../findings.ts';
import { correctionBasis } from '../sections/corrected/basis.ts';
import { dateWords } from '../../words/date-words.ts';
import { count, counted, distance, levelText, listed } from '../../words/numbers.ts';
import type { Supplement } from '../supplement.ts';

/** A step of the method in words, with where it was published. */
export interface MethodStep {
  readonly topic: string;
  readonly words: string;
  /**
   * Author, journal, year. The procedures are checked against R and print. Bibliographic details: Wilson, Clopper and Pearson,
   * Newcombe as R's help cites them (`prop.test`, `binom.test`); Bowker as R package ordinalTables; Fagerland, Stuart, Dunn,
   * Holm, Cohen, Fleiss, Gwet, Zou, Tenenbein, Lang as the reference tables of the tests; the others are from memory.
   */
  readonly sources: readonly string[];
}

function rule(samplingRule: SamplingRule | undefined): string {
  if (!samplingRule) return 'no sampling rule was set up, so observers classed whom they could';
  return `observers were to class ${whoIsDue(samplingRule)}, a rule fixed beforehand`;
}

/** How observers' errors were allowed for, with estimator, counts and what is assumed; none where nobody was validated or practised. */
function correctionSteps({ corrected }: Findings): MethodStep[] {
  const basis = correctionBasis(corrected);
  if (!basis) return [];
  const topic = 'Correction for what observers misread';
  if (basis.kind === 'validation') {
    const counts = (corrected?.validation?.checkpoints ?? []).map(
      ({ checkpoint, live, validated }) => `${count(validated)} of ${count(live)} at ${checkpoint}`,
    );
    return [
      {
        topic,
        words: `Of the runners classed live some were classed again from slow-motion clips (${listed(counts)}), which count as the truth. Shares are weighted over the live classes (double sampling), with Wilson’s interval at the effective number of runners; the change has the standard error of both estimates in the same runners. Within a live class the reviewed must be a random part.`,
        sources: ['A. Tenenbein, J Am Stat Assoc 65, 1970'],
      },
    ];
  }
  const practised = (corrected?.practice?.observers ?? []).filter((observer) => observer.practised).length;
  return [
    {
      topic,
      words: `${count(practised)} observers answered ${count(corrected?.practice?.items ?? 0)} practice items whose classes are known. Live shares are multiplied by the inverse of the matrix of their errors, with the interval of Lang and Reiczigel; items, not answers, count as independent. Observers are taken to err at the race as in practice.`,
      sources: ['B. A. Barron, Biometrics 33, 1977', 'Z. Lang, J. Reiczigel, Prev Vet Med 113, 2014'],
    },
  ];
}

/** How live calls were held against clips, and what was measured on clips; none without clips. */
function clipSteps({ gait, gaitChange, liveAgainstClip }: Findings, level: number): MethodStep[] {
  const measured = (gait ?? []).filter(({ runners }) => runners > 0);
  const counts = measured.map(
    ({ checkpoint, clips, runners, steps, fps }) =>
      `${counted(steps, 'step')} of ${counted(runners, 'runner')} on ${counted(clips, 'clip')} at ${checkpoint}, ${fps.least === fps.greatest ? '' : `${count(fps.least)} to `}${count(fps.greatest)} frames a second`,
  );
  return [
    ...(liveAgainstClip
      ? [
          {
            topic: 'Live against clip',
            words: `${counted(liveAgainstClip.all.units, 'foot', 'feet')} that an observer called live and a clip shows are compared class by class. Intervals take the feet of a runner at a checkpoint as one cluster.`,
            sources: ['W. G. Cochran, Sampling Techniques, 3rd edition, 1977'],
          },
        ]
      : []),
    ...(measured.length > 0
      ? [
          {
            topic: 'Gait on clips',
            words: `First contact and toe-off were marked frame by frame (${listed(counts)}). Each runner counts once, by the mean of the steps and of the reviewers; means have t intervals at ${levelText(level)}. Classes are compared by Kruskal–Wallis${gaitChange ? ', the two checkpoints by paired t-tests in the same runners' : ''}, two reviewers of one step by limits of agreement. A single frame bounds what a mark can tell: “SD by frames” is that part of the spread.`,
            sources: ['Student, Biometrika 6, 1908', 'J. M. Bland, D. G. Altman, Lancet 327, 1986'],
          },
        ]
      : []),
  ];
}

/** How the figures came about, step by step, for these findings. */
export function methodSteps(
  findings: Findings,
  supplement: Supplement,
  race: Race,
  level: number,
  singleFoot: SingleFootRule,
): MethodStep[] {
  const places = findings.shares.map((entry) => `${entry.checkpoint} (${distance(entry.km)})`);
  const observers = supplement.observers.map(({ checkpoint, codes }) => `${count(codes.length)} at ${checkpoint}`);
  return [
    {
      topic: 'What was watched',
      words: `${race.name}, ${dateWords(race.date)}: runners were sighted at ${listed(places)} by observers at the kerb (${listed(observers)}); ${rule(race.samplingRule)}. Each foot was called rearfoot (heel), midfoot, forefoot or not seen; a walker has no class.`,
      sources: [],
    },
    {
      topic: 'From sightings to classes',
      words: `Sightings without a bib are left out; of an observer’s entries for one runner at one place the latest counts. A ruling by the lead decides alone, else slow-motion clips, else what was seen live. Each foot gets the class most observers gave it; a tie is disputed. Two feet alike give the runner’s class, two classes make asymmetric${singleFoot === 'use' ? ', and a single seen foot counts for both' : ', and a runner with one foot seen is not classified'}. Walking, disputed and unclassified runners are in no share and no test.`,
      sources: [],
    },
    {
      topic: 'Shares',
      words: `Counts over the classified runners, with Wilson’s score interval at ${levelText(level)}.`,
      sources: ['E. B. Wilson, J Am Stat Assoc 22, 1927'],
    },
    ...correctionSteps(findings),
    {
      topic: 'Shift in the same runners',
      words:
        'The difference of paired shares has Newcombe’s hybrid score interval (method 10); McNemar’s test stands with its exact and mid-p forms; Stuart–Maxwell and Bowker take all four classes; the odds ratio of moves has a Clopper–Pearson interval.',
      sources: [
        'R. G. Newcombe, Stat Med 17, 1998',
        'Q. McNemar, Psychometrika 12, 1947',
        'M. W. Fagerland, S. Lydersen, P. Laake, BMC Med Res Methodol 13, 2013',
        'A. Stuart, Biometrika 42, 1955',
        'A. E. Maxwell, Br J Psychiatry 116, 1970',
        'A. H. Bowker, J Am Stat Assoc 43, 1948',
        'C. J. Clopper, E. S. Pearson, Biometrika 26, 1934',
      ],
    },
    {
      topic: 'Separate samples and lost runners',
      words:
        'Pearson’s chi-square without continuity correction and the Fisher–Freeman–Halton exact test; the exact one is read first where a count below 5 is expected.',
      sources: ['K. Pearson, Philos Mag 50, 1900', 'G. H. Freeman, J. H. Halton, Biometrika 38, 1951'],
    },
    {
      topic: 'Along the course',
      words:
        'Cochran’s Q in runners classified everywhere; a logistic model by generalised estimating equations over all, runners as clusters, exchangeable correlation, robust variance.',
      sources: ['W. G. Cochran, Biometrika 37, 1950', 'K.-Y. Liang, S. L. Zeger, Biometrika 73, 1986'],
    },
    {
      topic: 'Finish times',
      words:
        'Kruskal–Wallis over the classes, Dunn’s pairwise test with Holm’s adjustment, Mann–Whitney with Cliff’s δ for rearfoot against the rest, the trend in proportions over quarters, and least squares of the logarithm of time on class, age and sex where the results have them.',
      sources: [
        'W. H. Kruskal, W. A. Wallis, J Am Stat Assoc 47, 1952',
        'O. J. Dunn, Technometrics 6, 1964',
        'S. Holm, Scand J Stat 6, 1979',
        'H. B. Mann, D. R. Whitney, Ann Math Stat 18, 1947',
        'N. Cliff, Psychol Bull 114, 1993',
        'P. Armitage, Biometrics 11, 1955',
      ],
    },
    {
      topic: 'Agreement',
      words:
        'Feet that two raters both classed: agreement, Cohen’s kappa, kappa with linear weights, Gwet’s AC1 and Krippendorff’s alpha. Standard errors are large-sample ones; the intervals take both feet of a runner as one cluster and may pass 1.',
      sources: [
        'J. Cohen, Educ Psychol Meas 20, 1960',
        'J. L. Fleiss, J. Cohen, B. S. Everitt, Psychol Bull 72, 1969',
        'K. L. Gwet, Br J Math Stat Psychol 61, 2008',
        'K. Krippendorff, Content Analysis, 2004',
      ],
    },
    ...clipSteps(findings, level),
    {
      topic: 'Coverage',
      words:
        'Finishers are cut into quarters by their times; the rearfoot share is weighted by these quarters to the whole field; its interval is made from the Wilson intervals of the quarters.',
      sources: [
        'STROBE, item 13: E. von Elm and others, PLoS Med 4, 2007',
        'G. Y. Zou, W. Huang, X. Zhang, Comput Stat Data Anal 53, 2009',
      ],
    },
  ];
}
