import {
  count,
  counted,
  listed,
  percent,
  percentNumber,
  percentRange,
  pointRange,
  points,
} from '../../words/numbers.ts';
import { RUNNER_CLASSES, type RunnerClass } from '../../records/foot.ts';
import type { Findings } from '../findings.ts';
import { correctionBasis } from '../sections/corrected/basis.ts';
import { finishShort } from '../sections/finish/words.ts';
import { leadingP } from '../sections/shift/words.ts';
import { mayBeTheObservers } from '../sections/shift/observers-doubt.ts';
import { say, strong, type Sentence } from './sentences-parts.ts';
import { place, settles } from './sentences-section.ts';
import { LEAST_RUNNERS } from '../which-test.ts';

/** A coach's question with its answer, and the section that has the rest. */
export interface ShortAnswer {
  readonly section: 'shares' | 'shift' | 'finish' | 'agreement';
  readonly question: string;
  readonly answer: Sentence;
}

/** The findings in four answers: how many, does it change, does it go with time, can the observers be trusted. */
export function inShort(findings: Findings, level: number, focus: readonly string[]): ShortAnswer[] {
  return [
    { section: 'shares', question: 'How many on the heel (rearfoot)?', answer: howMany(findings, focus) },
    { section: 'shift', question: 'Does it change along the way?', answer: doesItChange(findings) },
    { section: 'finish', question: 'Does it go with finish time?', answer: finishShort(findings, level) },
    { section: 'agreement', question: 'Can the observers be trusted?', answer: trust(findings) },
  ];
}

/** A checkpoint's shares, all as called or all corrected. */
interface SharesAt {
  readonly checkpoint: string;
  readonly runners: number;
  /** Runners on the rearfoot as called; `null` where the shares are corrected, which are nobody's count. */
  readonly rearfoot: number | null;
  readonly classes: Record<
    RunnerClass,
    { readonly share: number | null; readonly low: number | null; readonly high: number | null }
  >;
}

function calledAt(findings: Findings, checkpoint: string): SharesAt[] {
  const called = findings.shares.find((entry) => entry.checkpoint === checkpoint);
  if (!called || called.classified === 0) return [];
  const { classified: runners, classes } = called;
  return [{ checkpoint, runners, rearfoot: classes.rearfoot.count, classes }];
}

function correctedAt(findings: Findings, checkpoint: string): SharesAt[] {
  const better = correctionBasis(findings.corrected)?.checkpoints.find(
    (entry) =>
      entry.checkpoint === checkpoint && entry.runners >= LEAST_RUNNERS && entry.classes.rearfoot.share !== null,
  );
  return better ? [{ ...better, rearfoot: null }] : [];
}

/** Both places are given in one way: a corrected share beside one as called would look like a change. */
function howMany(findings: Findings, focus: readonly string[]): Sentence {
  const compared = focus.slice(0, 2);
  const called = compared.flatMap((name) => calledAt(findings, name));
  if (called.length === 0) return say`No runner has been classified yet.`;
  const corrected = called.flatMap(({ checkpoint }) => correctedAt(findings, checkpoint));
  const all = corrected.length === called.length;
  const places = all ? corrected : called;
  const [first, second] = places.map((at) => rearfootAt(findings, at));
  const rearfoot = second ? say`At ${first!}; at ${second}` : say`At ${first!}`;
  if (all) return say`${rearfoot}, allowing for misreadings.${rest(places)}`;
  const allowing = corrected.map((at) => ` Allowing for misreadings: ${correctedShare(at)}.`);
  return say`${rearfoot}.${rest(places)}${allowing.join('')}`;
}

function rearfootAt(findings: Findings, at: SharesAt): Sentence {
  const where = place(findings, at.checkpoint);
  const runners = counted(at.runners, 'runner');
  const of = at.rearfoot === null ? runners : `${count(at.rearfoot)} of ${runners}`;
  if (at.runners < LEAST_RUNNERS) return say`${where} ${strong(of)}`;
  const { share, low, high } = at.classes.rearfoot;
  const range = percentRange(low, high);
  return say`${where} ${strong(percent(share))} (${of}${range === null ? '' : `; likely ${range}`})`;
}

function correctedShare(at: SharesAt): string {
  const { share, low, high } = at.classes.rearfoot;
  const range = percentRange(low, high);
  return `${percent(share)} rearfoot at ${at.checkpoint}${range === null ? '' : ` (likely ${range})`}`;
}

/** The other classes, place after place; nothing where a share of few runners would say too much. */
function rest(places: readonly SharesAt[]): string {
  if (places.some(({ runners }) => runners < LEAST_RUNNERS)) return '';
  const others = RUNNER_CLASSES.filter((name) => name !== 'rearfoot').map(
    (name) =>
      `${name === 'asymmetric' ? 'asymmetric (left and right differ)' : name} ${places.map(({ classes }) => percentNumber(classes[name].share)).join(' and ')}\u00a0%`,
  );
  return ` The others: ${listed(others)}.`;
}

function doesItChange(findings: Findings): Sentence {
  const { shift } = findings;
  const better = correctionBasis(findings.corrected)?.difference;
  if (better && better.corrected.difference !== null) {
    const { difference, low, high } = better.corrected;
    const settled = low !== null && high !== null && (low > 0 || high < 0);
    return change({ ...{ paired: better.paired, difference, low, high, settled }, corrected: true });
  }
  if (!shift) return say`That needs runners seen at two checkpoints.`;
  const { rearfoot, paired } = shift;
  if (paired < LEAST_RUNNERS) {
    return say`${counted(paired, 'runner')} seen at both places ${paired === 1 ? 'is' : 'are'} too few to tell.`;
  }
  const { difference, low, high } = rearfoot;
  return change({ ...{ paired, difference, low, high }, settled: settles(leadingP(rearfoot)), corrected: false });
}

interface ChangeSaid {
  readonly paired: number;
  readonly difference: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly settled: boolean;
  readonly corrected: boolean;
}

function change({ paired, difference, low, high, settled, corrected }: ChangeSaid): Sentence {
  const size = difference ?? 0;
  const range = pointRange(low, high);
  const among = say`Among ${strong(counted(paired, 'runner'))} seen at both places${corrected ? ', allowing for what observers misread,' : ''} the rearfoot share`;
  const likely = range === null ? '' : ` (likely ${range})`;
  if (!settled)
    return say`${among} ${lateLessEarly(size)}${likely}: ${strong('the data do not settle')} whether it changes.`;
  return say`${among} ${strong(`${size > 0 ? 'rose' : 'fell'} by ${points(size)}`)}${likely}.`;
}

/** Which way the share went, where that is not settled. */
function lateLessEarly(size: number): string {
  if (points(size) === points(0)) return 'was the same late as early';
  return `was ${points(size)} ${size > 0 ? 'higher' : 'lower'} late than early`;
}

function trust({ agreement, liveAgainstClip, shift }: Findings): Sentence {
  const main = agreement.pairs.toSorted((a, b) => b.units - a.units)[0];
  const alike = main
    ? say`${main.a} and ${main.b} gave ${strong(percent(main.agreement))} of ${counted(main.units, 'foot', 'feet')} the same class`
    : say`No two observers classed the same runner, so their agreement is not known`;
  const clips = liveAgainstClip?.all;
  const held =
    clips && clips.units > 0 && clips.agreement.share !== null
      ? say`${alike}; slow-motion clips confirm ${strong(percent(clips.agreement.share))} of ${count(clips.units)} live calls`
      : alike;
  return shift && shift.paired > 0 && mayBeTheObservers(shift)
    ? say`${held}. ${strong('Different people stood at the two places')}: a change between them may be the observers’.`
    : say`${held}.`;
}
