import type { BibList } from '../race/bib-list.ts';
import type { Foot, Gait } from '../records/foot.ts';
import { LIMITS } from '../records/record-fields.ts';

/** Which feet a tap speaks of. */
export type Feet = 'left' | 'both' | 'right';

/**
 * What an observer has tapped and not yet finished. Nothing here is kept for good: a record is made when a bib (or *no
 * bib*) and both feet, or *walking*, have come together, in whatever order.
 */
export interface TallyEntry {
  /** The characters on their way to a bib. */
  readonly typed: string;
  /** Whether `typed` was chosen as a whole, so that the next character begins another bib. */
  readonly whole: boolean;
  /** Bibs of approaching runners; the first takes the next feet when nothing is typed. */
  readonly lined: readonly string[];
  /** The bib of the runner whose feet have begun, `null` for *no bib*, `undefined` while it is open. */
  readonly bib: string | null | undefined;
  readonly gait: Gait;
  readonly left: Foot | undefined;
  readonly right: Foot | undefined;
  /** The first foot or walking tap, milliseconds since 1970. */
  readonly begunAt: number | undefined;
  /** The checkpoint chosen by hand for this runner at a station of a lapped course. */
  readonly checkpoint: string | undefined;
}

/** A runner with everything a sighting needs. */
export interface TalliedRunner {
  readonly bib: string | null;
  readonly gait: Gait;
  readonly left: Foot;
  readonly right: Foot;
  readonly observedAt: number;
  readonly checkpoint: string | undefined;
  /** Let pass by the sampling rule: counted, not looked at. */
  readonly passed?: true;
}

export type TallyAction =
  | { readonly type: 'character'; readonly character: string }
  | { readonly type: 'erase' }
  | { readonly type: 'clear' }
  | { readonly type: 'feet'; readonly feet: Feet; readonly foot: Foot; readonly at: number }
  | { readonly type: 'walking'; readonly at: number }
  | { readonly type: 'passed'; readonly at: number }
  | { readonly type: 'noBib' }
  | { readonly type: 'lineUp' }
  | { readonly type: 'pick'; readonly index: number }
  | { readonly type: 'drop'; readonly index: number }
  | { readonly type: 'candidate'; readonly bib: string }
  | { readonly type: 'confirm' }
  | { readonly type: 'checkpoint'; readonly id: string };

export interface TallyStep {
  readonly entry: TallyEntry;
  /** Runners this action completed, in order. */
  readonly tallied: readonly TalliedRunner[];
}

const NO_FEET = { bib: undefined, gait: 'run', left: undefined, right: undefined, begunAt: undefined } as const;

export const EMPTY_ENTRY: TallyEntry = { ...NO_FEET, typed: '', whole: false, lined: [], checkpoint: undefined };

/** Whether a foot or *walking* has been tapped for a runner who is not complete. */
export const hasBegun = (entry: TallyEntry): boolean => entry.begunAt !== undefined;

const hasBothFeet = (entry: TallyEntry): boolean => entry.left !== undefined && entry.right !== undefined;

/** Whose feet come next: a bib, `null` for *no bib*, `undefined` when nobody is known. */
export function nextBib(entry: TallyEntry): string | null | undefined {
  if (entry.bib !== undefined) return entry.bib;
  return entry.typed || entry.lined[0];
}

/** What one tap or key makes of the entry. Total: an action that means nothing here changes nothing. */
export function tallyStep(entry: TallyEntry, action: TallyAction, bibs: BibList): TallyStep {
  switch (action.type) {
    case 'character':
      return typeCharacter(entry, action.character, bibs);
    case 'erase':
      return unfinished(erase(entry));
    case 'clear':
      return unfinished({ ...EMPTY_ENTRY, lined: entry.lined });
    case 'feet':
      return noteFeet(entry, action.at, (begun) => ({
        ...begun,
        // A foot tapped after *walking* says that the runner runs after all.
        gait: 'run',
        left: action.feet === 'right' ? runningFoot(begun, begun.left) : action.foot,
        right: action.feet === 'left' ? runningFoot(begun, begun.right) : action.foot,
      }));
    case 'walking':
      return noteFeet(entry, action.at, (begun) => ({ ...begun, gait: 'walk', left: 'unseen', right: 'unseen' }));
    case 'passed':
      return passed(entry, action.at);
    case 'noBib':
      return noBib(entry);
    case 'lineUp':
    case 'confirm':
      // Feet that wait for a bib come before runners who have yet to arrive.
      return wantsBib(entry) ? takeNext(entry) : unfinished(lineUp(entry));
    case 'pick':
      return pick(entry, action.index);
    case 'drop':
      return unfinished({ ...entry, lined: without(entry.lined, action.index) });
    case 'candidate':
      return candidate(entry, action.bib);
    case 'checkpoint':
      return unfinished({ ...entry, checkpoint: action.id });
  }
}

const unfinished = (entry: TallyEntry): TallyStep => ({ entry, tallied: [] });
const runningFoot = (entry: TallyEntry, foot: Foot | undefined) => (entry.gait === 'walk' ? undefined : foot);
const without = (lined: readonly string[], index: number) => lined.filter((_, i) => i !== index);
const lineUpLast = (lined: readonly string[], bib: string) => [...lined.filter((other) => other !== bib), bib];

/** Feet wait for a bib, and none has been given. */
const wantsBib = (entry: TallyEntry) => hasBegun(entry) && entry.bib === undefined;

/** Makes a record of the entry as soon as it has all it needs. */
function finishIfComplete(entry: TallyEntry): TallyStep {
  const { bib, gait, left, right, begunAt, checkpoint } = entry;
  if (bib === undefined || left === undefined || right === undefined || begunAt === undefined) return unfinished(entry);
  const runner: TalliedRunner = { bib, gait, left, right, observedAt: begunAt, checkpoint };
  return { entry: { ...entry, ...NO_FEET, checkpoint: undefined }, tallied: [runner] };
}

function typeCharacter(entry: TallyEntry, character: string, bibs: BibList): TallyStep {
  // A bib chosen as a whole makes room for the next one by lining up.
  const before = entry.whole ? lineUp(entry) : entry;
  if (before.typed.length >= LIMITS.bib) return unfinished(before);
  const typed = before.typed + character;
  // *No bib* was chosen and the number could be read after all.
  const bib = before.bib === null && !hasBegun(before) ? undefined : before.bib;
  const entered = { ...before, typed, bib };
  const settled = wantsBib(entered) && bibs.has(typed) && !bibs.beginsAnother(typed);
  return settled ? takeTyped(entered) : unfinished(entered);
}

function takeTyped(entry: TallyEntry): TallyStep {
  return finishIfComplete({ ...entry, bib: entry.typed, typed: '', whole: false });
}

function takeFirstLined(entry: TallyEntry): TallyStep {
  return finishIfComplete({ ...entry, bib: entry.lined[0], lined: entry.lined.slice(1) });
}

/** Takes the bib in the large field, if there is one: what is typed, else the first in the row. */
function takeNext(entry: TallyEntry): TallyStep {
  if (entry.bib !== undefined) return finishIfComplete(entry);
  if (entry.typed) return takeTyped(entry);
  return entry.lined.length ? takeFirstLined(entry) : unfinished(entry);
}

/**
 * Notes feet or *walking*. When the runner before has both feet and a bib that only wants confirming, these feet are the
 * next runner's: otherwise a forgotten confirm key would cost a runner.
 */
function noteFeet(entry: TallyEntry, at: number, note: (entry: TallyEntry) => TallyEntry): TallyStep {
  const forgotten = wantsBib(entry) && hasBothFeet(entry) && entry.typed ? takeTyped(entry) : unfinished(entry);
  const current = forgotten.entry;
  const step = takeNext(note({ ...current, begunAt: current.begunAt ?? at }));
  return { entry: step.entry, tallied: [...forgotten.tallied, ...step.tallied] };
}

function passed(entry: TallyEntry, at: number): TallyStep {
  // Feet that wait stay as they are: whoever passed meanwhile is somebody else.
  const takesTyped = !hasBegun(entry) && entry.typed !== '';
  const runner: TalliedRunner = {
    bib: takesTyped ? entry.typed : null,
    gait: 'run',
    left: 'unseen',
    right: 'unseen',
    observedAt: at,
    checkpoint: hasBegun(entry) ? undefined : entry.checkpoint,
    passed: true,
  };
  if (hasBegun(entry)) return { entry, tallied: [runner] };
  const cleared = takesTyped ? { typed: '', whole: false } : {};
  return { entry: { ...entry, ...cleared, bib: undefined, checkpoint: undefined }, tallied: [runner] };
}

function noBib(entry: TallyEntry): TallyStep {
  if (typeof entry.bib === 'string') return unfinished(entry);
  if (entry.bib === null) return unfinished({ ...entry, bib: undefined });
  return finishIfComplete({ ...entry, bib: null, typed: '', whole: false });
}

function lineUp(entry: TallyEntry): TallyEntry {
  if (!entry.typed) return entry;
  return { ...entry, typed: '', whole: false, lined: lineUpLast(entry.lined, entry.typed) };
}

/** Makes a lined-up bib the next one. What is typed takes its place in the row, so that nothing typed is lost. */
function pick(entry: TallyEntry, index: number): TallyStep {
  const bib = entry.lined[index];
  if (bib === undefined) return unfinished(entry);
  const others = without(entry.lined, index);
  if (wantsBib(entry)) return finishIfComplete({ ...entry, bib, lined: others });
  if (!entry.typed) return unfinished({ ...entry, bib: noLongerNobody(entry), lined: [bib, ...others] });
  const lined = entry.lined.map((other, i) => (i === index ? entry.typed : other));
  return unfinished({ ...entry, typed: bib, whole: true, lined: [...new Set(lined)] });
}

/** *No bib* that was chosen ahead of the feet gives way to a bib that is chosen after it. */
const noLongerNobody = (entry: TallyEntry) => (entry.bib === null && !hasBegun(entry) ? undefined : entry.bib);

function candidate(entry: TallyEntry, bib: string): TallyStep {
  const chosen: TallyEntry = { ...entry, typed: bib, whole: true, lined: entry.lined.filter((other) => other !== bib) };
  return wantsBib(entry) ? takeTyped(chosen) : unfinished({ ...chosen, bib: noLongerNobody(entry) });
}

/** One step back within the entry: the last character, else the bib that was taken, else the feet. */
function erase(entry: TallyEntry): TallyEntry {
  if (entry.typed) return { ...entry, typed: entry.typed.slice(0, -1), whole: false };
  if (typeof entry.bib === 'string') return { ...entry, bib: undefined, typed: entry.bib, whole: false };
  if (entry.bib === null) return { ...entry, bib: undefined };
  return { ...entry, ...NO_FEET };
}
