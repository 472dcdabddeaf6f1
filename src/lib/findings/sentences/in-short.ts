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
    { section: 'shares', question: 'How many land on the heel, the rearfoot?', answer: howMany(findings, focus) },
    { section: 'shift', question: 'Does it change along the way?', answer: doesItChange(findings) },
    { section: 'finish', question: 'Does it go with finish time?', answer: finishShort(findings, level) },
    { section: 'agreement', question: 'Can the observers be trusted?', answer: trust(findings) },
  ];
}

/** A checkpoint's shares, corrected where they can be. */
interface SharesAt {
  readonly checkpoint: string;
  readonly runners: number;
  readonly corrected: boolean;
  /** Runners on the rearfoot, as called. */
  readonly rearfoot: number;
  readonly classes: Record<
    RunnerClass,
    { readonly share: number | null; readonly low: number | null; readonly high: number | null }
  >;
}

function sharesAt(findings: Findings, checkpoint: string): SharesAt[] {
  const called = findings.shares.find((entry) => entry.checkpoint === checkpoint);
  if (!called || called.classified === 0) return [];
  const better = correctionBasis(findings.corrected)?.checkpoints.find(
    (entry) => entry.checkpoint === checkpoint && entry.classes.rearfoot.share !== null,
  );
  const shown = better ?? { runners: called.classified, classes: called.classes };
  return [{ ...shown, checkpoint, corrected: better !== undefined, rearfoot: called.classes.rearfoot.count }];
}

function howMany(findings: Findings, focus: readonly string[]): Sentence {
  const [first, second] = focus.flatMap((name) => sharesAt(findings, name));
  if (!first) return say`No runner has been classified yet.`;
  const places = second ? [first, second] : [first];
  const mixed = new Set(places.map(({ corrected }) => corrected)).size > 1;
  const part = (at: SharesAt) => rearfootAt(findings, at, mixed);
  const all = second ? say`At ${part(first)}; at ${part(second)}` : say`At ${part(first)}`;
  const corrected = !mixed && first.corrected ? ', corrected for misreadings' : '';
  return say`${all}${corrected}.${rest(places)}`;
}

function rearfootAt(findings: Findings, at: SharesAt, mixed: boolean): Sentence {
  const where = place(findings, at.checkpoint);
  if (at.runners < LEAST_RUNNERS) {
    return say`${where} ${strong(`${count(at.rearfoot)} of ${counted(at.runners, 'runner')}`)}`;
  }
  const { share, low, high } = at.classes.rearfoot;
  const range = percentRange(low, high);
  const said = [
    ...(range === null ? [] : [`likely ${range}`]),
    ...(mixed ? [at.corrected ? 'corrected for misreadings' : 'as called'] : []),
  ];
  return say`${where} ${strong(percent(share))} of ${counted(at.runners, 'runner')}${said.length > 0 ? ` (${said.join(', ')})` : ''}`;
}

/** The other classes, place after place; nothing where a share of few runners would say too much. */
function rest(places: readonly SharesAt[]): string {
  if (places.some(({ runners }) => runners < LEAST_RUNNERS)) return '';
  const others = RUNNER_CLASSES.filter((name) => name !== 'rearfoot').map(
    (name) => `${name} ${places.map(({ classes }) => percentNumber(classes[name].share)).join(' and ')}\u00a0%`,
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
    return say`${among} moved by ${points(size)}${likely}: ${strong('the data do not settle')} whether it changes.`;
  return say`${among} ${strong(`${size > 0 ? 'rose' : 'fell'} by ${points(size)}`)}${likely}.`;
}

function trust({ agreement, liveAgainstClip, shift }: Findings): Sentence {
  const main = agreement.pairs.toSorted((a, b) => b.units - a.units)[0];
  const alike = main
    ? say`${main.a} and ${main.b} gave ${strong(percent(main.agreement))} of ${counted(main.units, 'foot', 'feet')} the same class`
    : say`No two observers classed the same runner, so their agreement is not known`;
  const clips = liveAgainstClip?.all;
  const held =
    clips && clips.units > 0 && clips.agreement.share !== null
      ? say`${alike}; slow motion bore out ${strong(percent(clips.agreement.share))} of ${count(clips.units)} live calls`
      : alike;
  return shift && shift.paired > 0 && mayBeTheObservers(shift)
    ? say`${held}. ${strong('Different people stood at the two places')}: a change between them may be the observers’.`
    : say`${held}.`;
}
