import type { SamplingAdvice } from '../../race/sampling.ts';
import type { FeetTap, Repeat } from '../../tally/meant-step.ts';
import type { LeftBehind } from '../../tally/resume-entry.ts';
import type { TallyEntry } from '../../tally/tally-entry.ts';
import { bibInWords, FOOT_WORDS, feetInShort, feetInWords } from '../foot-words.ts';
import type { TallyState } from './tally-state.svelte.ts';

/** What stands beside the bib in the large field. */
export interface FieldNote {
  readonly text: string;
  readonly tone: 'plain' | 'good' | 'warn';
  /** Feet that want a bib, or that may have been tapped by a bounce. */
  readonly feet?: string;
}

type Shown = Pick<TallyState, 'bibs' | 'candidates' | 'correction' | 'entry' | 'lastKept' | 'seenBefore' | 'shownBib'> &
  Partial<Pick<TallyState, 'repeat' | 'repeatIsFor' | 'passesInARow' | 'left'>>;

/** How the screen names things: which column is left, and where a runner was seen. */
export interface Naming {
  readonly mirrored: boolean;
  /** In few letters. */
  readonly placeOf: (checkpoint: string) => string;
  /** What the race's clocks showed at an instant, milliseconds since 1970. */
  readonly timeOf: (instant: number) => string;
}

/**
 * @param ruleWords what the sampling rule asks for now, as `adviceInWords` says it
 * @param now milliseconds since 1970
 */
export function fieldNote(tally: Shown, ruleWords: string, now: number, naming: Naming = PLAIN): FieldNote {
  const { correction, shownBib: bib, entry, repeat } = tally;
  if (correction) {
    // Candidates leave little room.
    const text = tally.candidates.length ? 'then Save' : 'Correcting. Save, or Undo to leave it.';
    return { text, tone: 'warn' };
  }
  if (repeat) return repeatNote(repeat, tally.repeatIsFor, naming);
  // Both go with the next tap: they come before what else there is to say.
  if (tally.left) return { text: leftInWords(tally.left, naming), tone: 'warn' };
  const { passesInARow: passes = 0 } = tally;
  if (tally.lastKept?.passed && passes > 1) {
    return { text: `passed ${passes} in a row. One too many? Undo`, tone: 'warn' };
  }
  const begun = entry.begunAt !== undefined;
  const otherFoot = begun ? `and the ${entry.left ? 'right' : 'left'} foot` : undefined;
  if (typeof bib === 'string') return bibNote(tally, bib, otherFoot, now);
  if (bib === null) return { text: otherFoot ?? 'feet next; No bib again leaves it', tone: 'plain' };
  if (begun) return { text: 'Whose feet? Bib, or No bib', tone: 'warn', feet: feetSoFar(entry, naming.mirrored) };
  if (tally.lastKept) {
    const kept = keptInWords(tally.lastKept, naming);
    return { text: ruleWords ? `${kept}; ${ruleWords}` : kept, tone: 'good' };
  }
  return { text: ruleWords || 'bib or feet, in any order', tone: 'plain' };
}

const PLAIN: Naming = { mirrored: false, placeOf: () => '', timeOf: () => '' };

/** What was lined up or half entered before, and is not taken up: it says so instead of vanishing. */
function leftInWords({ why, bibs, at }: LeftBehind, { timeOf }: Naming): string {
  const whose = why === 'old' ? `Too old to go on, from ${timeOf(at)}` : `Of another station, from ${timeOf(at)}`;
  return `${whose}, dropped: ${bibs.length ? bibs.join(', ') : 'feet without a bib'}`;
}

function keptInWords(kept: NonNullable<Shown['lastKept']>, { placeOf }: Naming): string {
  if (kept.passed) return `✓ passed${kept.bib === null ? '' : `: ${kept.bib}`}`;
  const place = placeOf(kept.checkpoint);
  return `✓ kept: ${bibInWords(kept.bib)}, ${feetInWords(kept)}${place && `, ${place}`}`;
}

/** The feet of a runner who has no bib yet; `·` for the one that is still to come. */
function feetSoFar({ gait, left, right }: TallyEntry, mirrored: boolean): string {
  if (gait === 'walk') return 'walk';
  const either = feetInShort({ left: left ?? 'unseen', right: right ?? 'unseen' }, mirrored);
  if (left !== undefined && right !== undefined) return either;
  const known = FOOT_WORDS[left ?? right ?? 'unseen'];
  return `${left === undefined ? 'right' : 'left'} ${known[0] ?? ''}`;
}

function feetOfTap(tap: FeetTap, mirrored: boolean): string {
  if (tap.type === 'walking') return 'walk';
  const { feet, foot } = tap;
  return feet === 'both' ? feetInShort({ left: foot, right: foot }, mirrored) : `${feet} ${FOOT_WORDS[foot][0] ?? ''}`;
}

/** A key that was tapped twice: what is asked, and what waits for the answer. */
function repeatNote({ taps, waiting }: Repeat, bib: string | undefined, { mirrored }: Naming): FieldNote {
  const [first] = taps;
  const feet = first ? feetOfTap(first, mirrored) : '';
  const times = taps.length > 1 ? `${taps.length + 1} times` : 'twice';
  const asked = bib === undefined ? 'For the next runner too?' : `For ${bib} too?`;
  const more = waiting.map(({ tap }) => feetOfTap(tap, mirrored)).join(', ');
  return { text: `${feet} tapped ${times}. ${asked}${more && ` ${more} waits.`}`, tone: 'warn', feet };
}

function bibNote(tally: Shown, bib: string, otherFoot: string | undefined, now: number): FieldNote {
  const { bibs, entry, seenBefore } = tally;
  if (seenBefore !== undefined) return { text: `seen ${ago(now - seenBefore)}`, tone: 'warn' };
  const onList = bibs.has(bib);
  // One that is still being typed may become one of the list.
  const mayBecome = entry.typed === bib && !entry.whole && bibs.beginsAnother(bib);
  if (bibs.size && !onList && !mayBecome) return { text: 'not on the list', tone: 'warn' };
  if (otherFoot) return { text: otherFoot, tone: 'plain' };
  return onList ? { text: '✓ on the list', tone: 'good' } : { text: '', tone: 'plain' };
}

/** What the rule asks for before the next runner is classed; nothing when that one is to be classed. */
export function adviceInWords(advice: SamplingAdvice): string {
  if (advice.classNext) return '';
  switch (advice.kind) {
    case 'every':
      return `let ${advice.k - advice.position} pass`;
    case 'windows':
      return 'pause: count only';
    default:
      return '';
  }
}

/** How the rule counts along, short enough for a key. */
export function adviceOnKey(advice: SamplingAdvice, timeOf: (ms: number) => string): string {
  switch (advice.kind) {
    case 'everyone':
      return '';
    case 'every':
      return `${advice.position} of ${advice.k}`;
    case 'windows':
      return `${advice.classNext ? 'class' : 'pause'} to ${timeOf(advice.changesAt)}`;
    case 'endings':
      return advice.classNext ? '' : 'not due';
  }
}

function ago(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1000));
  return seconds < 90 ? `${seconds} s ago` : `${Math.round(seconds / 60)} min ago`;
}
