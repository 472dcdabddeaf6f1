import { clockWords, durationWords } from '../race/duration-words.ts';
import type { CheckInput } from './input/check-input.ts';
import { clipDoubtKnown, clipDoubtTitle } from './clip-doubt-words.ts';
import type { DecisionDraft, Doubt, DoubtKind, TimedPoint } from './doubt.ts';
import { twoRatesKnown, twoRatesTitle } from './two-rates-words.ts';

/** What the words need beside the doubt. */
export interface DoubtContext {
  readonly checkpoints: CheckInput['checkpoints'];
  /** Clock time in the race's zone of milliseconds since 1970, such as `10:31:05`. */
  readonly clock: (ms: number) => string;
}

export const KIND_WORDS: Readonly<Record<DoubtKind, { readonly one: string; readonly title: string }>> = {
  unlisted: { one: 'not on the start list', title: 'Not on the start list' },
  disputed: { one: 'disputed', title: 'Disputed' },
  time: { one: 'odd time', title: 'Times and clocks' },
  double: { one: 'entered twice', title: 'Entered twice' },
  clip: { one: 'clip figures', title: 'In clips' },
  missing: { one: 'missing', title: 'Missing' },
};

/** A probability as a person reads it: never 0 or 100. */
export function probabilityWords(probability: number): string {
  if (probability >= 0.995) return 'over 99 %';
  if (probability < 0.01) return 'under 1 %';
  return `${Math.round(probability * 100)} %`;
}

/** Times are quoted as the records have them; a clock that is further off is said beside. */
const CLOCK_MATTERS_MS = 2_000;

function placeWords({ checkpoints, clock }: DoubtContext, at: TimedPoint): string {
  const checkpoint = checkpoints[at.point];
  const name = checkpoint ? `${checkpoint.name} (${checkpoint.km} km)` : 'the finish';
  if (at.atMs === null) return name;
  const off = Math.abs(at.clockMs) >= CLOCK_MATTERS_MS;
  const said = off ? `, by a clock ${durationWords(at.clockMs / 1000)} ${at.clockMs > 0 ? 'behind' : 'ahead'}` : '';
  return `${name} at ${clock(at.atMs)}${said}`;
}

const plural = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`;

/** What the doubt is, in a few words. */
export function doubtTitle(doubt: Doubt): string {
  const { facts, bib } = doubt;
  switch (facts.type) {
    case 'not-listed':
      return `${bib} is not on the start list`;
    case 'dispute':
      return `${bib} is disputed`;
    case 'swapped':
      return `${bib} and ${facts.other} seem to have each other’s feet`;
    case 'backwards':
      return `${bib} reaches the later checkpoint first`;
    case 'too-fast':
      return `${bib} is faster than any human`;
    case 'too-slow':
      return `${bib} is far slower than the field`;
    case 'odd':
      return facts.from.point === facts.to.point
        ? `${bib} is seen at two times at one place`
        : `The times of ${bib} do not fit together`;
    case 'before-start':
      return `${bib} passes before anybody can`;
    case 'after-finish':
      return `${bib} is still seen after the finish`;
    case 'no-result':
      return `${bib} was seen but has no finish`;
    case 'clock':
      return `The clock of ${facts.observer}’s tablet is ${durationWords(facts.aheadSeconds)} ${facts.aheadSeconds > 0 ? 'ahead' : 'behind'}`;
    case 'wrong-start':
      return 'The race’s day or start does not fit the sightings';
    case 'repeat':
      return `${facts.observer} entered ${bib} ${doubt.records.length === 2 ? 'twice' : `${doubt.records.length} times`}`;
    case 'seq-gap':
      return `${plural(facts.missing, 'record')} of ${facts.observer}’s tablet ${facts.missing === 1 ? 'is' : 'are'} missing`;
    case 'silence':
      return facts.silences.length === 1 ? 'A long silence while runners passed' : 'Long silences while runners passed';
    case 'not-handed-in':
      return `Nothing from ${facts.observer} yet`;
    case 'rate':
    case 'implausible':
    case 'gait':
    case 'frames-missing':
      return clipDoubtTitle(bib, facts);
    case 'two-rates':
      return twoRatesTitle(facts);
  }
}

/** What is known, one sentence each. */
export function doubtKnown(doubt: Doubt, context: DoubtContext): string[] {
  const { facts } = doubt;
  switch (facts.type) {
    case 'not-listed':
      return [
        ...(facts.seenElsewhere
          ? [
              `${plural(facts.seenElsewhere, 'other observation')} of this race ${facts.seenElsewhere === 1 ? 'has' : 'have'} the same number: a late entry is likely.`,
            ]
          : []),
        ...(facts.hasResult ? ['The results have this number: a late entry is likely.'] : []),
        ...(doubt.candidates.length ? [] : ['No bib on the start list is one slip away from it.']),
      ];
    case 'dispute':
      return [
        `They differ on ${facts.what.map((part) => (part === 'gait' ? 'running or walking' : `the ${part} foot`)).join(' and ')}. Until it is ruled, the runner counts in no share and no test.`,
      ];
    case 'swapped':
      return [
        `${facts.observer} saw the two ${durationWords(facts.apartSeconds)} apart and gave each the feet that everybody else gave the other.`,
      ];
    case 'backwards':
    case 'too-fast':
    case 'too-slow':
    case 'odd':
      return stretchWords(facts, context);
    case 'before-start':
      return [
        `At ${placeWords(context, facts.at)}: ${facts.seconds < 0 ? `${durationWords(facts.seconds)} before the start` : `only ${durationWords(facts.seconds)} after the start`}.`,
      ];
    case 'after-finish':
      return [`At ${placeWords(context, facts.at)}, ${durationWords(facts.seconds)} after the finish in the results.`];
    case 'no-result':
      return [
        `Seen ${plural(facts.sightings, 'time')}, last at ${placeWords(context, facts.at)}. Either a runner who dropped out or a misread bib.`,
      ];
    case 'clock':
      return [
        facts.against === null
          ? `Judged by the pace of ${plural(facts.runners, 'runner')}, against the rest of the field.`
          : `${plural(facts.runners, 'runner')} seen by this tablet and another at the same place: this one shows them ${durationWords(facts.aheadSeconds)} ${facts.aheadSeconds > 0 ? 'later' : 'earlier'}.`,
        ...(facts.measuredMs === null
          ? []
          : [
              `When it last spoke with the hub it was ${clockWords(facts.measuredMs)}; that is allowed for already, and this difference is left: the clock was set in between, or stood otherwise before.`,
            ]),
        ...(facts.certain ? [] : ['The times alone cannot tell which clock is right.']),
        'The check allows for the difference everywhere else. No sighting is changed.',
      ];
    case 'wrong-start':
      return [
        `${facts.sightings} of ${facts.of} sightings are ${dayWords(facts.seconds)} the start that the set-up has. Correct the day or the start in Set-up; until then the check goes on without a start, and this is the one cause of what would else be a doubt for each runner.`,
      ];
    case 'repeat':
      return [
        `${durationWords(facts.apartSeconds)} apart, with ${facts.sameFeet ? 'the same' : 'differing'} feet.`,
        `One runner entered again: ${probabilityWords(facts.sameRunner)}. The figures use the latest entry alone${facts.sameRunner < 0.5 ? ', which may be somebody else’s' : ''}.`,
        ...(doubt.proposal?.some((draft) => draft.kind === 'correction' && draft.bib === null)
          ? ['Of the entries below, the first fits this runner less well; without a bib it counts for nobody.']
          : []),
      ];
    case 'seq-gap':
      return [
        `Numbers ${facts.gaps
          .slice(0, 6)
          .map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`))
          .join(
            ', ',
          )}${facts.gaps.length > 6 ? ' and more' : ''} have not arrived. The tablet still has them: hand in from it again.`,
      ];
    case 'silence':
      return facts.silences.map(
        ({ fromMs, toMs, expected }) =>
          `${context.clock(fromMs)} to ${context.clock(toMs)}, the tablets’ clocks put right: nobody tallied, about ${Math.round(expected)} to be expected from who was seen elsewhere.`,
      );
    case 'not-handed-in':
      return ['Set-up gives this observer a post, but no record has come in.'];
    case 'rate':
    case 'implausible':
    case 'gait':
    case 'frames-missing':
      return clipDoubtKnown(facts);
    case 'two-rates':
      return twoRatesKnown(facts);
  }
}

function dayWords(seconds: number): string {
  const days = Math.round(Math.abs(seconds) / 86_400);
  const size = days < 2 ? durationWords(seconds) : `${days} days`;
  return `${size} ${seconds < 0 ? 'before' : 'after'}`;
}

function stretchWords(facts: Extract<Doubt['facts'], { from: TimedPoint }>, context: DoubtContext): string[] {
  const words = [`${placeWords(context, facts.from)}, then ${placeWords(context, facts.to)}.`];
  const between = facts.seconds < 0 ? `${durationWords(facts.seconds)} too early` : durationWords(facts.seconds);
  if (facts.from.point === facts.to.point) return [`${words[0]} ${between} apart.`];
  const expected =
    facts.expectedSeconds === null ? '' : ` Usual for a runner of this pace: ${durationWords(facts.expectedSeconds)}.`;
  words.push(`${facts.seconds < 0 ? `The second comes ${between}` : `${between} between them`}.${expected}`);
  if (facts.type === 'too-fast' && facts.boundSeconds !== null) {
    words.push(`The best ever over such a distance took about ${durationWords(facts.boundSeconds)}.`);
  }
  return words;
}

/** What accepting would do, as the words of a button; `null` when only a person can tell. */
export function proposalWords(doubt: Doubt): string | null {
  const { proposal, facts } = doubt;
  if (!proposal?.length) return null;
  const [first] = proposal as [DecisionDraft];
  if (facts.type === 'swapped') return `Exchange ${doubt.bib} and ${facts.other}`;
  if (first.kind === 'correction' && first.bib) return `It was ${first.bib}`;
  if (first.kind === 'correction') return 'Take the bib off one';
  if (first.kind === 'withdrawal') return 'Keep the latest';
  return null;
}
