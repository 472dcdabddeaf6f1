import type { SamplingAdvice } from '../../race/sampling.ts';
import { bibInWords, feetInWords } from '../foot-words.ts';
import type { TallyState } from './tally-state.svelte.ts';

/** What stands beside the bib in the large field. */
export interface FieldNote {
  readonly text: string;
  readonly tone: 'plain' | 'good' | 'warn';
}

type Shown = Pick<TallyState, 'bibs' | 'candidates' | 'correction' | 'entry' | 'lastKept' | 'seenBefore' | 'shownBib'>;

/**
 * @param ruleWords what the sampling rule asks for now, as `adviceInWords` says it
 * @param now milliseconds since 1970
 */
export function fieldNote(tally: Shown, ruleWords: string, now: number): FieldNote {
  const { correction, shownBib: bib, entry } = tally;
  if (correction) {
    // Candidates leave little room.
    const text = tally.candidates.length ? 'then Save' : 'Correcting. Save, or Undo to leave it.';
    return { text, tone: 'warn' };
  }
  const begun = entry.begunAt !== undefined;
  const otherFoot = begun ? `and the ${entry.left ? 'right' : 'left'} foot` : undefined;
  if (typeof bib === 'string') return bibNote(tally, bib, otherFoot, now);
  if (bib === null) return { text: otherFoot ?? 'feet next; No bib again leaves it', tone: 'plain' };
  if (begun) return { text: 'Whose feet? Bib, or No bib', tone: 'warn' };
  if (tally.lastKept) {
    const kept = `✓ kept: ${bibInWords(tally.lastKept.bib)}, ${feetInWords(tally.lastKept)}`;
    return { text: ruleWords ? `${kept}; ${ruleWords}` : kept, tone: 'good' };
  }
  return { text: ruleWords || 'bib or feet, in any order', tone: 'plain' };
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
  return advice.kind === 'every' ? `let ${advice.k - advice.position} pass` : 'pause: count only';
}

/** How the rule counts along, short enough for a key. */
export function adviceOnKey(advice: SamplingAdvice, timeZone: string | undefined): string {
  switch (advice.kind) {
    case 'everyone':
      return '';
    case 'every':
      return `${advice.position} of ${advice.k}`;
    case 'windows':
      return `${advice.classNext ? 'class' : 'pause'} to ${timeOfDay(advice.changesAt, timeZone)}`;
  }
}

function timeOfDay(ms: number, timeZone: string | undefined): string {
  return new Date(ms).toLocaleTimeString(undefined, {
    hour: '2-digit',
    minute: '2-digit',
    hour12: false,
    ...(timeZone ? { timeZone } : {}),
  });
}

function ago(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1000));
  return seconds < 90 ? `${seconds} s ago` : `${Math.round(seconds / 60)} min ago`;
}
