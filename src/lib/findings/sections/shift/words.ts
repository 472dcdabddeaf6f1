import { exactLeads, FEW_CLUSTERS, isSparse, LEAST_RUNNERS } from '../../which-test.ts';
import type { Findings } from '../../findings.ts';
import type { TestResult } from '../../test-result.ts';
import type { RearfootChange, Shift } from './figures.ts';
import {
  capital,
  chanceWords,
  count,
  counted,
  decimal,
  distance,
  levelText,
  percent,
  pointRange,
  points,
  pValue,
  ratio,
  ratioRange,
  signedPoints,
} from '../../../words/numbers.ts';
import { asAside, aside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { NOT_SETTLED, place, settles, type SectionWords } from '../../sentences/sentences-section.ts';
import { NO_CAUSE_OF_SHIFT } from '../../sentences/sentences-cautions.ts';
import { mayBeTheObservers } from './observers-doubt.ts';

/** The early-to-late shift: the same runners first, then the two samples, the lost runners and the trend. */
export function shiftWords(findings: Findings, level: number): SectionWords {
  const shift = findings.shift;
  if (!shift) {
    return {
      lead: say`A shift needs two checkpoints with sightings, an early one and a late one; this race has ${counted(findings.shares.length, 'such checkpoint')}.`,
      tests: [],
      remarks: [],
    };
  }
  const doubt = mayBeTheObservers(shift);
  // The caution stands once, at the head; the mark keeps it with a sentence that is repeated on its own.
  const close = (sentence: Sentence): Sentence => say`${sentence}${doubt ? OBSERVERS_MARK : ''}.`;
  const trend = trendSentence(findings, shift, level);
  const cochran = cochranSentence(shift);
  const places = findings.shares.filter(({ classified }) => classified > 0).length;
  return {
    cause: say`${NO_CAUSE_OF_SHIFT}`,
    cautions: [...orderCautions(findings, shift), ...(doubt ? [observersCaution(shift, level)] : [])],
    lead: close(lead(findings, shift, level)),
    tests: [
      // The headline has the verdict and the interval.
      {
        question: 'Could it be chance?',
        answer: forPaper(leadingP(shift.rearfoot) !== null, close(pairedTest(shift))),
      },
      { question: 'And the other classes?', answer: close(allClasses(shift)) },
      // Where the same runners were seen at both, theirs is the answer; the tables have the other.
      { question: 'As two separate samples?', answer: forPaper(shift.paired >= LEAST_RUNNERS, close(separate(shift))) },
      { question: 'Who was lost on the way?', answer: close(attrition(shift)) },
      ...(trend ? [{ question: 'Over the whole distance?', answer: forPaper(places === 2, close(trend)) }] : []),
      ...(cochran ? [{ question: 'In those seen everywhere?', answer: close(cochran) }] : []),
    ],
    remarks: doubt ? [] : [sameEyes(findings, shift, level)],
  };
}

/** What says little beyond the answers above is left to paper and tables. */
const forPaper = (little: boolean, sentence: Sentence): Sentence => (little ? asAside(sentence) : sentence);

function lead(findings: Findings, shift: Shift, level: number): Sentence {
  const both = `${place(findings, shift.early)} and ${place(findings, shift.late)}`;
  const { rearfoot, paired } = shift;
  if (paired === 0) {
    return say`No runner was classified at both ${both}, so nothing can be said of a shift in the same runners`;
  }
  const who = say`Of ${strong(counted(paired, 'runner'))} classified at both ${both}`;
  if (rearfoot.gained + rearfoot.lost === 0) {
    if (paired < LEAST_RUNNERS)
      return say`${who}, ${strong('none moved')} onto the rearfoot or off it: too few to say more`;
    return say`${who}, ${strong('none moved')} onto the rearfoot or off it (difference 0.0 points${interval(rearfoot, level)})`;
  }
  const moved = say`${who}, ${strong(`${count(rearfoot.gained)} moved onto the rearfoot`)} and ${strong(count(rearfoot.lost))} moved off it`;
  const size = rearfoot.difference ?? 0;
  if (paired < LEAST_RUNNERS) {
    const open = settles(leadingP(rearfoot)) ? 'a hint at most' : 'the data do not settle whether it shifts';
    return say`${moved}: with so few runners ${strong(open)}`;
  }
  const range = parenthesis(rearfoot, level);
  if (size === 0) {
    return say`${moved}: the share stayed at ${percent(rearfoot.early)}${range}, and ${strong('the data do not settle')} whether it shifts`;
  }
  const way = size > 0 ? 'rose' : 'fell';
  const change = say`${moved}: the share ${way} by ${strong(points(size))}, from ${percent(rearfoot.early)} to ${percent(rearfoot.late)}${range}`;
  return settles(leadingP(rearfoot))
    ? change
    : say`${change}, and ${strong('the data do not settle')} whether it shifts`;
}

function interval(rearfoot: RearfootChange, level: number): string {
  const range = pointRange(rearfoot.low, rearfoot.high);
  return range === null ? '' : `, ${levelText(level)} interval ${range}`;
}

function parenthesis(rearfoot: RearfootChange, level: number): string {
  const range = pointRange(rearfoot.low, rearfoot.high);
  return range === null ? '' : ` (change in points, ${levelText(level)} interval ${range})`;
}

/** The p-value that the paired question is answered by: exact with few changes, chi-square with many. */
export function leadingP(rearfoot: RearfootChange): number | null {
  return exactLeads(rearfoot) ? rearfoot.mcnemar.exactP : rearfoot.mcnemar.p;
}

function pairedTest(shift: Shift): Sentence {
  const { rearfoot, paired } = shift;
  const { mcnemar, gained, lost } = rearfoot;
  const p = leadingP(rearfoot);
  if (paired === 0) return say`the paired test needs runners classified at both checkpoints, and there are none`;
  if (p === null) return say`nobody changed, so a paired test has nothing to weigh`;
  const figures = exactLeads(rearfoot)
    ? `exact test of the ${counted(gained + lost, 'runner')} who changed, ${pValue(mcnemar.exactP)}; mid-p ${bare(mcnemar.midP)}; McNemar ${statistic('χ²', mcnemar)}`
    : `McNemar ${statistic('χ²', mcnemar)}; exact ${bare(mcnemar.exactP)}; mid-p ${bare(mcnemar.midP)}`;
  const split = `${count(Math.max(gained, lost))} to ${count(Math.min(gained, lost))}`;
  const often = say`if moves onto and off the rearfoot were equally likely, a split of ${split} or wider would come in ${chanceWords(p)}${aside(` (${figures})`)}`;
  return settles(p) ? say`${often}; how large the change is, the interval says` : say`${often}: ${strong(NOT_SETTLED)}`;
}

const bare = (p: number | null): string => pValue(p).replace(/^p = /, '').replace(/^p /, '');

function statistic(sign: string, test: TestResult): string {
  return test.p === null
    ? 'cannot be computed'
    : `${sign} = ${decimal(test.statistic)}, ${count(test.df)} df, ${pValue(test.p)}`;
}

function allClasses({ marginalHomogeneity: margins, symmetry, paired }: Shift): Sentence {
  if (paired === 0 || margins.p === null) return say`no runner seen at both changed class, so there is nothing to test`;
  const figures = `Stuart–Maxwell ${statistic('χ²', margins)}; Bowker’s test of symmetry ${statistic('χ²', symmetry)}`;
  return settles(margins.p)
    ? say`the four classes together did shift: chance alone would bring as much in ${chanceWords(margins.p)}${aside(` (${figures})`)}`
    : say`for the four classes together ${NOT_SETTLED}${aside(` (${figures})`)}`;
}

function separate({ independent }: Shift): Sentence {
  const [early, late] = independent.table.map((row) => row.reduce((sum, n) => sum + n, 0));
  const samples = `${count(early ?? 0)} runners early and ${count(late ?? 0)} late`;
  if (independent.p === null)
    return say`${samples} cannot be compared: two samples with at least two classes are needed`;
  const small = isSparse(independent);
  const p = small && independent.exactP !== null ? independent.exactP : independent.p;
  const exact =
    independent.exactP === null
      ? 'exact test too large to count out'
      : `exact ${pValue(independent.exactP)}${small ? `, to be read first because a count of only ${decimal(independent.minExpected, 1)} was expected` : ''}`;
  const overlap =
    (independent.overlap ?? 0) > 0
      ? `; ${percent(independent.overlap)} of these runners stand in both samples, so the first answer counts`
      : '; no runner stands in both samples';
  const verdict = settles(p)
    ? `chance alone would make the classes differ this much in ${chanceWords(p)}`
    : NOT_SETTLED;
  const figures = `χ² = ${decimal(independent.statistic)}, ${count(independent.df)} df, ${pValue(independent.p)}; Cramér’s V ${decimal(independent.cramersV)}; ${exact}`;
  return say`with ${samples}, ${verdict}${aside(` (${figures})`)}${overlap}`;
}

function attrition({ attrition: lost }: Shift): Sentence {
  const all = lost.seenLate + lost.notSeenLate;
  if (all === 0) return say`nobody was classified early`;
  const rate = (row: readonly number[] | undefined): string => {
    const total = (row ?? []).reduce((sum, n) => sum + n, 0);
    return total === 0 ? 'none' : percent((row?.[0] ?? 0) / total);
  };
  const opening = say`of ${counted(all, 'runner')} classified early, ${count(lost.notSeenLate)} were not classified late`;
  if (lost.notSeenLate === 0 || lost.seenLate === 0) return opening;
  const compare = say`${opening}: early, ${rate(lost.table[1])} of these were rearfoot, ${rate(lost.table[0])} of the ${count(lost.seenLate)} seen again`;
  if (lost.p === null) return compare;
  const figures = aside(` (${statistic('χ²', lost)})`);
  return settles(lost.p)
    ? say`${compare}, so the runners compared are not like all who set out${figures}`
    : say`${compare}; the data do not settle whether they differ${figures}`;
}

function trendSentence(findings: Findings, { trend }: Shift, level: number): Sentence | null {
  if (findings.shares.filter((entry) => entry.classified > 0).length < 2) return null;
  const base = `${counted(trend.observations, 'classification')} of ${counted(trend.clusters, 'runner')}`;
  if (trend.clusters < LEAST_RUNNERS) return say`${base} are too few for a trend over the distance`;
  if (trend.oddsRatio === null) return say`${base} do not allow a trend over the distance to be fitted`;
  const hint =
    trend.clusters < FEW_CLUSTERS ? `; with fewer than ${count(FEW_CLUSTERS)} runners this p is too small` : '';
  const range = ratioRange(trend.low, trend.high);
  const shown = [range === null ? '' : `${levelText(level)} interval ${range}`, base].filter(Boolean).join('; ');
  const figures = aside(`; logistic GEE, z = ${decimal(trend.z)}, ${pValue(trend.p)}`);
  const effect = say`the odds of landing on the rearfoot are multiplied by ${strong(ratio(trend.oddsRatio))} for each 10 km further (${shown}${figures}${hint})`;
  return settles(trend.p) ? effect : say`${effect}: ${NOT_SETTLED}`;
}

function cochranSentence({ cochranQ: q }: Shift): Sentence | null {
  if (!q) return null;
  if (q.p === null) {
    return q.runners === 0
      ? say`no runner was classified at all ${count(q.checkpoints)} checkpoints`
      : say`the ${counted(q.runners, 'runner')} classified at all ${count(q.checkpoints)} checkpoints never changed, so there is nothing to test`;
  }
  const figures = `Cochran’s Q = ${decimal(q.statistic)}, ${count(q.df)} df, ${pValue(q.p)}`;
  return settles(q.p)
    ? say`among the ${counted(q.runners, 'runner')} classified at all ${count(q.checkpoints)} checkpoints, chance alone would make the rearfoot share vary this much in ${chanceWords(q.p)}${aside(` (${figures})`)}`
    : say`among the ${counted(q.runners, 'runner')} classified at all ${count(q.checkpoints)} checkpoints ${NOT_SETTLED}${aside(` (${figures})`)}`;
}

/** What a sentence carries while a difference may be the observers’. */
const OBSERVERS_MARK = ' (may be the observers’)';

const bothPlaces = (findings: Findings, shift: Shift): string =>
  `${place(findings, shift.early)} and ${place(findings, shift.late)}`;

function observersCaution(shift: Shift, level: number): Sentence {
  const both = `${shift.early} and ${shift.late}`;
  const { paired, sameObserver, commonObservers } = shift;
  if (paired === 0) {
    return commonObservers === 0
      ? say`No observer worked at both ${both}: a difference between them may be the observers’.`
      : say`Nobody was classified at both ${both}: a difference between them may be the observers’.`;
  }
  return say`${strong(`${capital(pairsOf(sameObserver.pairs, paired))} by the same observer`)} at both ${both}: a difference may be the observers’, not the runners’${among(shift, level)}.`;
}

/** The change seen through the same eyes beside the change of all, where observers are no doubt. */
function sameEyes(findings: Findings, shift: Shift, level: number): Sentence {
  if (shift.paired === 0) {
    return say`${counted(shift.commonObservers, 'observer')} worked at both ${bothPlaces(findings, shift)}.`;
  }
  return say`${capital(pairsOf(shift.sameObserver.pairs, shift.paired))} by the same observer at both places${among(shift, level)}.`;
}

const pairsOf = (pairs: number, paired: number): string =>
  paired === 1
    ? `${pairs === 1 ? 'the one pair was' : 'the one pair was not'} seen`
    : `${pairs === 0 ? 'none' : count(pairs)} of ${count(paired)} pairs ${pairs < 2 ? 'was' : 'were'} seen`;

/** The change of the pairs seen by one observer, beside that of all; nothing where they are the same or none. */
function among({ sameObserver, rearfoot, paired }: Shift, level: number): string {
  const { pairs, difference, gained, lost } = sameObserver;
  if (pairs === 0 || pairs === paired) return '';
  if (pairs < LEAST_RUNNERS) {
    return `. Of ${pairs === 1 ? 'this one' : `these ${count(pairs)}`} ${count(gained)} moved onto the rearfoot, ${count(lost)} off it`;
  }
  return `. Among these the share changed by ${signedPoints(difference)} points${interval(sameObserver, level)}, among all by ${signedPoints(rearfoot.difference)}`;
}

/** Early and late that are not one after the other on the course. */
function orderCautions(findings: Findings, { early, late }: Shift): Sentence[] {
  const km = (name: string): number => findings.shares.find((entry) => entry.checkpoint === name)?.km ?? 0;
  if (km(early) === km(late)) {
    return [
      say`${early} and ${late} lie at the same distance (${distance(km(early))}): this compares two places, not early with late.`,
    ];
  }
  return km(early) > km(late)
    ? [
        say`${place(findings, early)} is taken as early and ${place(findings, late)} as late, though runners come to it first: changes are against the running direction.`,
      ]
    : [];
}
