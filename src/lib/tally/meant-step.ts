import type { BibList } from '../race/bib-list.ts';
import {
  EMPTY_ENTRY,
  hasBegun,
  tallyStep,
  type TalliedRunner,
  type TallyAction,
  type TallyEntry,
} from './tally-entry.ts';

/**
 * A tap on the key that has just completed a runner, so soon after it, is asked about: milliseconds from tap to tap. Cold
 * thumbs on glass repeated a key 90 to 500 ms after the tap that was meant; whoever classes two runners alike in a pack
 * does it in 250 ms. No limit in time tells them apart, so that none is drawn between them.
 */
export const REPEAT_MS = 600;

/** A tap that says something of feet. */
export type FeetTap = Extract<TallyAction, { readonly type: 'feet' | 'walking' }>;

/** Taps that may have been a bounce: they say nothing until somebody says that they were meant. */
export interface Repeat {
  /** At least one; all on one key. */
  readonly taps: readonly FeetTap[];
  /** Somebody was lined up when they came: they may have been for that runner. */
  readonly ofRow: boolean;
  /** Feet tapped since for the lined-up runners: whose they are depends on the answer. */
  readonly waiting: readonly WaitingTap[];
}

export interface WaitingTap {
  readonly tap: FeetTap;
  /** It repeated another key, and is asked about in its turn. */
  readonly repeated: boolean;
}

/** The entry, and what of the taps is still in question. */
export interface TallyProgress {
  readonly entry: TallyEntry;
  readonly repeat?: Repeat | undefined;
  /** The key tapped last, if a repeat of it would be a bounce. */
  readonly last?: { readonly key: string; readonly at: number } | undefined;
  /** The first character typed repeats the one by which a bib has just saved itself: it may be a bounce. */
  readonly doubtful?: boolean | undefined;
  /** *Passed* was the last key: how often so far without a rest of `REPEAT_MS`. More than once, it may have bounced. */
  readonly passes?: { readonly count: number; readonly at: number } | undefined;
}

/** `meant` and `notMeant` answer for the oldest tap, and for all taps, that are in question. */
export type ProgressAction = TallyAction | { readonly type: 'meant' } | { readonly type: 'notMeant' };

export interface ProgressStep {
  readonly progress: TallyProgress;
  readonly tallied: readonly TalliedRunner[];
}

export const NO_PROGRESS: TallyProgress = { entry: EMPTY_ENTRY };

/**
 * What one tap or key makes of the entry, with repeats of a key set aside (`REPEAT_MS`). Repeated feet are never lost: they
 * stay in question until *meant* or *not meant* is said. With runners lined up, further feet for the row wait for that
 * answer, since it decides whose they are; nothing is tallied meanwhile that another answer would make wrong. With nobody
 * lined up they are given up when the next feet come, which speak for themselves.
 *
 * *Passed* that repeats counts at once and is asked about (`passes`): a dense field is let pass at several runners a second,
 * and a count that waited for an answer would call the k-th runner too late. Undo takes one too many back.
 *
 * @param at milliseconds since 1970
 */
export function meantStep(progress: TallyProgress, action: ProgressAction, at: number, bibs: BibList): ProgressStep {
  const step = stepOf(progress, action, at, bibs);
  const { passes } = progress;
  if (action.type !== 'passed') {
    return step.progress.passes ? { ...step, progress: { ...step.progress, passes: undefined } } : step;
  }
  const count = passes && at - passes.at <= REPEAT_MS ? passes.count + 1 : 1;
  return { ...step, progress: { ...step.progress, passes: { count, at } } };
}

function stepOf(progress: TallyProgress, action: ProgressAction, at: number, bibs: BibList): ProgressStep {
  if (!progress.doubtful) return sureStep(progress, action, at, bibs);
  const settled = withoutBounce(progress, action, bibs);
  const { tallied, progress: after } = sureStep(settled, action, at, bibs);
  const open = action.type === 'character' && settled.entry === progress.entry;
  return { tallied, progress: open ? { ...after, doubtful: true } : after };
}

function sureStep(progress: TallyProgress, action: ProgressAction, at: number, bibs: BibList): ProgressStep {
  const { entry, repeat } = progress;
  if (isBounce(progress, action, at)) return bounced(progress, action, at, bibs);
  if (isAnswer(action)) return repeat ? answer(progress, repeat, action.type === 'meant', bibs) : nothing(progress);
  if (!repeat) return plainStep(entry, action, at, bibs);
  if (action.type === 'confirm') return meant(progress, repeat, bibs);
  if (action.type === 'clear') return notMeant(progress, repeat, bibs);
  if (action.type === 'erase' && isEmpty(entry)) return notMeant(progress, repeat, bibs);
  if (isFeetTap(action)) {
    if (!repeat.ofRow) return plainStep(entry, action, at, bibs);
    if (isEmpty(entry)) return nothing({ entry, repeat: withWaiting(repeat, action, false) });
  }
  const step = plainStep(entry, action, at, bibs);
  return { progress: { ...step.progress, repeat }, tallied: step.tallied };
}

/** Whose feet the repeat may have been: the first of the row, for a row. */
export const repeatIsFor = ({ entry, repeat }: TallyProgress): string | undefined =>
  repeat?.ofRow ? entry.lined[0] : undefined;

const nothing = (progress: TallyProgress): ProgressStep => ({ progress, tallied: [] });
const isAnswer = (action: ProgressAction): action is { readonly type: 'meant' } | { readonly type: 'notMeant' } =>
  action.type === 'meant' || action.type === 'notMeant';
const isFeetTap = (action: ProgressAction): action is FeetTap => action.type === 'feet' || action.type === 'walking';
/** Nothing typed, no bib and no feet: the next feet are those of the row. */
const isEmpty = (entry: TallyEntry) => entry.bib === undefined && !entry.typed && !hasBegun(entry);

/** The same key gives the same text. Nothing for keys whose repeats are harmless, or as often meant as not. */
function keyOf(action: ProgressAction): string | undefined {
  switch (action.type) {
    case 'feet':
      return `${action.feet} ${action.foot}`;
    case 'character':
      return `character ${action.character}`;
    case 'walking':
    case 'noBib':
      return action.type;
    default:
      return undefined;
  }
}

function isBounce({ last, repeat, entry }: TallyProgress, action: ProgressAction, at: number): boolean {
  if (!last || last.key !== keyOf(action) || at - last.at > REPEAT_MS) return false;
  // Feet that wait for a bib are only said again.
  return repeat !== undefined || !hasBegun(entry) || !isFeetTap(action);
}

function bounced(progress: TallyProgress, action: ProgressAction, at: number, bibs: BibList): ProgressStep {
  if (isFeetTap(action)) return setAside(progress, action, at);
  const { entry, repeat } = progress;
  // *No bib* that is said twice is said once.
  if (action.type !== 'character') return nothing({ entry, repeat, last: { key: action.type, at } });
  const step = tallyStep(entry, action, bibs);
  return { progress: { entry: step.entry, repeat, doubtful: true }, tallied: step.tallied };
}

/**
 * Takes away a first character that was a bounce: one that is all there is when feet come or the bib is taken, or that
 * makes a bib of nobody of one of the list. The next bib may begin with the character on which the last one ended.
 */
function withoutBounce({ entry, repeat }: TallyProgress, action: ProgressAction, bibs: BibList): TallyProgress {
  const known = (text: string) => bibs.has(text) || bibs.beginsAnother(text);
  if (action.type === 'character') {
    const typed = entry.typed + action.character;
    const drop = !known(typed) && known(typed.slice(1));
    return { entry: drop ? { ...entry, typed: entry.typed.slice(1) } : entry, repeat };
  }
  const alone = entry.typed.length === 1 && action.type !== 'erase';
  return { entry: alone ? { ...entry, typed: '' } : entry, repeat };
}

function setAside({ entry, repeat }: TallyProgress, action: FeetTap, at: number): ProgressStep {
  const last = { key: keyOf(action) ?? '', at };
  // After feet that wait, the order of the taps matters.
  if (repeat?.waiting.length === 0 && keyOf(repeat.taps[0] ?? action) === last.key) {
    return nothing({ entry, repeat: { ...repeat, taps: [...repeat.taps, action] }, last });
  }
  if (repeat?.ofRow) return nothing({ entry, repeat: withWaiting(repeat, action, true), last });
  const ofRow = entry.lined.length > 0 && isEmpty(entry);
  return nothing({ entry, repeat: { taps: [action], ofRow, waiting: [] }, last });
}

const withWaiting = (repeat: Repeat, tap: FeetTap, repeated: boolean): Repeat => ({
  ...repeat,
  waiting: [...repeat.waiting, { tap, repeated }],
});

function plainStep(entry: TallyEntry, action: TallyAction, at: number, bibs: BibList): ProgressStep {
  const step = tallyStep(entry, action, bibs);
  const key = step.tallied.length > 0 || action.type === 'noBib' ? keyOf(action) : undefined;
  return { progress: { entry: step.entry, last: key ? { key, at } : undefined }, tallied: step.tallied };
}

const answer = (progress: TallyProgress, repeat: Repeat, yes: boolean, bibs: BibList): ProgressStep =>
  yes ? meant(progress, repeat, bibs) : notMeant(progress, repeat, bibs);

/** The oldest of the repeats was meant; the others stay in question. */
function meant({ entry }: TallyProgress, repeat: Repeat, bibs: BibList): ProgressStep {
  const [tap, ...others] = repeat.taps as [FeetTap, ...FeetTap[]];
  if (!repeat.ofRow) {
    const step = tallyStep(entry, tap, bibs);
    return { progress: { entry: step.entry }, tallied: step.tallied };
  }
  if (!others.length) return playRow(entry, [tap], repeat.waiting, bibs);
  const step = playRow(entry, [tap], [], bibs);
  return { progress: { entry: step.progress.entry, repeat: { ...repeat, taps: others } }, tallied: step.tallied };
}

function notMeant({ entry }: TallyProgress, repeat: Repeat, bibs: BibList): ProgressStep {
  return repeat.ofRow ? playRow(entry, [], repeat.waiting, bibs) : nothing({ entry });
}

/** Gives feet to the lined-up runners, whatever is typed meanwhile; those that waited may hold a repeat of their own. */
function playRow(
  entry: TallyEntry,
  sure: readonly FeetTap[],
  waited: readonly WaitingTap[],
  bibs: BibList,
): ProgressStep {
  const tallied: TalliedRunner[] = [];
  let row: TallyProgress = { entry: { ...EMPTY_ENTRY, lined: entry.lined } };
  for (const tap of sure) {
    const step = tallyStep(row.entry, tap, bibs);
    row = { entry: step.entry };
    tallied.push(...step.tallied);
  }
  for (const { tap, repeated } of waited) {
    const step = repeated ? setAside(row, tap, tap.at) : meantStep(row, tap, tap.at, bibs);
    row = step.progress;
    tallied.push(...step.tallied);
  }
  const { repeat, last } = row;
  const back = backToEntry(entry, row.entry);
  return { progress: { entry: back.entry, repeat, last }, tallied: [...tallied, ...back.tallied] };
}

/** Brings the row back beside what is typed. Its last runner may be half tallied. */
function backToEntry(entry: TallyEntry, row: TallyEntry): { entry: TallyEntry; tallied: readonly TalliedRunner[] } {
  const { lined, bib, gait, left, right, begunAt } = row;
  if (begunAt === undefined) return { entry: { ...entry, lined }, tallied: [] };
  if (!hasBegun(entry) && entry.bib === undefined) {
    return { entry: { ...entry, lined, bib, gait, left, right, begunAt }, tallied: [] };
  }
  // There is room for the feet of one runner: these are kept as they are, to be corrected.
  const runner = { bib: bib ?? null, gait, left: left ?? 'unseen', right: right ?? 'unseen' } as const;
  return { entry: { ...entry, lined }, tallied: [{ ...runner, observedAt: begunAt, checkpoint: undefined }] };
}
