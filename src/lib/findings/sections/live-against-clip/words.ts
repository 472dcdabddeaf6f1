import { FOOT_CLASSES } from '../../../records/foot.ts';
import {
  count,
  counted,
  decimal,
  decimalRange,
  levelText,
  listed,
  percent,
  percentRange,
  pointRange,
} from '../../../words/numbers.ts';
import { asAside, aside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { SectionWords } from '../../sentences/sentences-section.ts';
import { LEAST_GROUP } from '../../which-test.ts';
import { calledAs } from './figures.ts';
import type { LiveAgainstClip, LiveReading, ReadingShare } from './live-against-clip.ts';

/** How good the eye at the kerb is where clips can tell: each observer, near and far foot, in sentences. */
export function liveAgainstClipWords(figures: LiveAgainstClip | null, level: number): SectionWords {
  if (!figures) {
    return {
      lead: say`No runner was both called live and reviewed on a clip, so live calls cannot be held against clips.`,
      tests: [],
      remarks: [
        say`Film a while at a checkpoint and review those runners: that tells what the eye at the kerb is worth.`,
      ],
    };
  }
  const { all, observers, sides } = figures;
  const direction = errorDirection(all);
  return {
    lead: lead(all, level),
    tests: [
      ...(direction ? [{ question: 'Which way does the naked eye err?', answer: direction }] : []),
      ...observers
        .filter(({ units }) => units > 0)
        .map((reading) => ({ question: `${reading.observer}?`, answer: asAside(readingSentence(reading)) })),
      ...(sides.near.units > 0 && sides.far.units > 0
        ? // The table has both sides.
          [{ question: 'Near foot against far foot?', answer: asAside(sidesSentence(figures, level)) }]
        : []),
    ],
    remarks: [
      say`The clip is a reference and no truth: a blurred or hidden foot is misjudged there too.${aside(` Of ${counted(feetCalled(all), 'foot', 'feet')} called live ${count(all.notInClip + all.clipUnseen)} are on no clip or not to be seen there.`)}`,
    ],
  };
}

const feetCalled = ({ units, liveUnseen, clipUnseen, notInClip, walking, disputed }: LiveReading) =>
  units + liveUnseen + clipUnseen + notInClip + walking + disputed;

function lead({ units, agreement, kappa, rearfoot }: LiveReading, level: number): Sentence {
  if (units === 0) return say`No foot that was classed live is classed on a clip.`;
  return say`Live and clip agree on ${strong(percent(agreement.share))} of ${strong(counted(units, 'foot', 'feet'))}${bounds(agreement, kappa, level)}.${aside(` Of the ${count(rearfoot.sensitivity.of)} that are rearfoot on the clip, ${count(rearfoot.sensitivity.count)} were called so live.`)}`;
}

/** The interval of the agreement and kappa, in brackets; what cannot be computed is not said. */
function bounds(agreement: ReadingShare, kappa: LiveReading['kappa'], level: number): Sentence {
  const range = percentRange(agreement.clusterLow, agreement.clusterHigh);
  const ends = decimalRange(kappa.clusterLow, kappa.clusterHigh);
  const beyond = kappa.estimate === null ? '' : `kappa ${decimal(kappa.estimate)}${ends === null ? '' : `, ${ends}`}`;
  if (range === null) return beyond === '' ? say`` : say`${aside(` (${beyond})`)}`;
  return say` (${levelText(level)} interval ${range}${beyond === '' ? '' : aside(`; ${beyond}`)})`;
}

/** Which way the naked eye errs, the class it misses most first; `null` where no class was called often enough. */
export function errorDirection(reading: LiveReading): Sentence | null {
  const calls = FOOT_CLASSES.map((live) => {
    const others = FOOT_CLASSES.filter((clip) => clip !== live)
      .map((clip) => ({ clip, n: calledAs(reading, live, clip) }))
      .filter(({ n }) => n > 0);
    const other = others.reduce((sum, { n }) => sum + n, 0);
    return { live, others, other, called: other + calledAs(reading, live, live) };
  }).filter(({ called }) => called >= LEAST_GROUP);
  if (calls.length === 0) return null;
  const wrong = calls.filter(({ other }) => other > 0).sort((a, b) => b.other / b.called - a.other / a.called);
  const compared = counted(reading.units, 'comparison');
  const [first, ...rest] = wrong.map(({ live, called, others }) => {
    const went = others.map(({ clip, n }) => `${count(n)} ${n === 1 ? 'was' : 'were'} ${clip}`);
    return `of ${counted(called, `live ${live} call`)}, ${listed(went)}`;
  });
  if (!first) return say`In ${compared} with a clip no live call was of another class.`;
  return say`By clip, ${strong(first)}${rest.length > 0 ? `; ${rest.join('; ')}` : ''}${aside(` (${compared})`)}.`;
}

/** Where live calls went: `of 48 called midfoot live, 27 were rearfoot on the clip`. How often they agree stands in the table. */
export function readingSentence(reading: LiveReading): Sentence {
  const parts = FOOT_CLASSES.flatMap((live) => {
    const called = FOOT_CLASSES.reduce((sum, clip) => sum + calledAs(reading, live, clip), 0);
    if (called === 0) return [];
    const wrong = FOOT_CLASSES.filter((clip) => clip !== live)
      .map((clip) => ({ clip, n: calledAs(reading, live, clip) }))
      .filter(({ n }) => n > 0)
      .map(({ clip, n }) => `${count(n)} ${n === 1 ? 'was' : 'were'} ${clip}`);
    return wrong.length > 0 ? [`of ${count(called)} called ${live} live, ${wrong.join(' and ')}`] : [];
  });
  return parts.length > 0
    ? say`by clip, ${parts.join('; ')}.`
    : say`none of ${counted(reading.units, 'foot', 'feet')} was of another class by clip.`;
}

function sidesSentence({ sides }: LiveAgainstClip, level: number): Sentence {
  const { near, far, difference } = sides;
  const range = pointRange(difference.low, difference.high);
  const gap =
    difference.difference === null
      ? ''
      : ` Near less far: ${decimal(100 * difference.difference, 1)} points${range === null ? '' : `, ${levelText(level)} interval ${range}`}.`;
  return say`Rearfoot on the clip and called so live: ${percent(difference.near)} of ${count(near.rearfoot.sensitivity.of)} near feet, ${percent(difference.far)} of ${count(far.rearfoot.sensitivity.of)} far ones.${gap}`;
}
