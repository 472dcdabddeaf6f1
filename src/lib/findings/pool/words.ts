import {
  count,
  counted,
  levelText,
  percent,
  percentRange,
  pointRange,
  points,
  pValue,
  ratio,
  ratioRange,
} from '../../words/numbers.ts';
import { say, strong, type Sentence } from '../sentences/sentences-parts.ts';
import type { SectionWords } from '../sentences/sentences-section.ts';
import { FEW_RACES } from '../which-test.ts';
import { FEW_RACES_HINT, SAMPLE_OF_RACES } from './notes.ts';
import type { Pooled, PooledEffect, PooledMean } from './pooled.ts';
import { isOfRaceTwice } from './races-given-twice.ts';

export const CODES_ARE_PERSONAL = 'A runner code is personal data: whoever has the club’s key can name the person.';

/** What several races say together: the shift first, then the share, and how far races differ. */
export function pooledWords(pooled: Pooled, level: number): SectionWords {
  if (pooled.races.length < 2) return ofOneRace(pooled);
  const spread = spreadWords(pooled);
  return {
    lead: shiftWords(pooled, level),
    tests: [
      { question: 'How many land on the rearfoot?', answer: say`${shareWords(pooled, level)}.` },
      { question: 'And a race still to come?', answer: say`${furtherRace(pooled)}.` },
      ...(spread ? [{ question: 'Do the races agree?', answer: say`${spread}.` }] : []),
      { question: 'Over the whole distance?', answer: say`${trendWords(pooled, level)}.` },
      { question: 'As odds?', answer: say`${oddsWords(pooled, level)}.` },
    ],
    remarks: [
      ...pooled.notes.filter(isOfRaceTwice).map((note) => say`${note}`),
      say`${SAMPLE_OF_RACES}`,
      ...(pooled.races.length < FEW_RACES ? [say`${FEW_RACES_HINT}`] : []),
    ],
  };
}

/** One race is shown and not pooled: what is asked of several need not be answered one by one. */
function ofOneRace({ races }: Pooled): SectionWords {
  return {
    lead: say`${races.length === 0 ? 'There is no race yet' : 'This is one race as it stands'}: pooling needs two, and three to say where a further one may lie.`,
    tests: [],
    remarks: [],
  };
}

const settled = ({ low, high }: PooledMean): boolean => low !== null && high !== null && (low > 0 || high < 0);
const few = (effect: PooledEffect<PooledMean>, what: string): Sentence =>
  say`${effect.races === 0 ? 'no race has' : 'one race alone has'} ${what}, and pooling needs two`;

function shiftWords({ difference }: Pooled, level: number): Sentence {
  const { pooled, races } = difference;
  if (pooled.estimate === null) {
    return races === 0
      ? say`No race has runners classified at both an early and a late checkpoint, so there is no shift to pool.`
      : say`One race alone has runners classified at both checkpoints; pooling needs two.`;
  }
  const way = pooled.estimate < 0 ? 'fell' : 'rose';
  const range = pointRange(pooled.low, pooled.high);
  const size = say`Over ${strong(counted(races, 'race'))} the rearfoot share ${way} by ${strong(points(pooled.estimate))} from early to late in the same runners (${levelText(level)} interval ${range ?? ''})`;
  return settled(pooled) ? say`${size}.` : say`${size}, and ${strong('the races do not settle')} whether it shifts.`;
}

function shareWords({ share }: Pooled, level: number): Sentence {
  const { pooled, races } = share;
  if (pooled.share === null) return few(share, 'a share');
  const range = percentRange(pooled.shareLow, pooled.shareHigh);
  return say`in the middle one of ${counted(races, 'race')} ${strong(percent(pooled.share))} at the early checkpoint (${levelText(level)} interval ${range ?? ''})`;
}

function furtherRace({ difference, share }: Pooled): Sentence {
  const shift = pointRange(difference.pooled.predictionLow, difference.pooled.predictionHigh);
  const early = percentRange(share.pooled.sharePredictionLow, share.pooled.sharePredictionHigh);
  if (shift === null && early === null) return say`three races or more are needed to say where a further one may lie`;
  return say`a further race of this kind may lie anywhere in ${strong(
    [
      ...(shift === null ? [] : [`${shift} points for the shift`]),
      ...(early === null ? [] : [`${early} for the share`]),
    ].join(' and '),
  )}`;
}

function spreadWords({ difference }: Pooled): Sentence | null {
  const { i2, heterogeneity, races } = difference;
  if (i2 === null) return null;
  const figures = `Cochran’s Q = ${heterogeneity.statistic?.toFixed(2) ?? ''}, ${count(heterogeneity.df)} df, ${pValue(heterogeneity.p)}; I² ${percent(i2)}`;
  return i2 === 0
    ? say`the shifts of ${counted(races, 'race')} differ by no more than chance would make them, which is no proof that they are alike (${figures})`
    : say`of what the shifts of ${counted(races, 'race')} vary, ${strong(percent(i2))} is between races and the rest chance (${figures})`;
}

function trendWords({ trend }: Pooled, level: number): Sentence {
  const { pooled } = trend;
  if (pooled.estimate === null) return few(trend, 'a trend');
  const range = ratioRange(pooled.oddsRatioLow, pooled.oddsRatioHigh);
  return say`for each 10 km further the odds of landing on the rearfoot are multiplied by ${strong(ratio(pooled.oddsRatio))} (${levelText(level)} interval ${range ?? 'too wide to write'}; ${counted(trend.races, 'race')}, ${pValue(pooled.p)})`;
}

function oddsWords({ oddsRatio }: Pooled, level: number): Sentence {
  const { pooled } = oddsRatio;
  if (pooled.estimate === null) return few(oddsRatio, 'runners who changed');
  const range = ratioRange(pooled.oddsRatioLow, pooled.oddsRatioHigh);
  return say`of the runners who change, ${strong(ratio(pooled.oddsRatio))} turn to the rearfoot for each one who turns away (${levelText(level)} interval ${range ?? 'too wide to write'}; ${counted(oddsRatio.races, 'race')}, ${pValue(pooled.p)})`;
}

/** The notes that do not stand above the figures as remarks. */
export function furtherNotes({ notes, races }: Pooled): string[] {
  const above = new Set([SAMPLE_OF_RACES, ...(races.length < FEW_RACES ? [FEW_RACES_HINT] : [])]);
  return notes.filter((note) => !above.has(note) && !isOfRaceTwice(note));
}
