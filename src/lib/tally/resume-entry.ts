import type { Sighting } from '../records/record.ts';
import type { KeptEntry } from './kept-entry.ts';
import { NO_PROGRESS, type Repeat, type TallyProgress } from './meant-step.ts';
import { EMPTY_ENTRY, hasBegun, type TallyEntry } from './tally-entry.ts';

/** Runners who were lined up longer ago than this have passed; common practice, no source. Milliseconds. */
export const STALE_MS = 6 * 3_600_000;

/** What was left and is not taken up again. */
export interface LeftBehind {
  readonly why: 'old' | 'elsewhere';
  /** Bibs that were lined up, and the one that was typed or had a foot. */
  readonly bibs: readonly string[];
  /** When it was put down, milliseconds since 1970. */
  readonly at: number;
}

export interface ResumedEntry {
  readonly progress: TallyProgress;
  readonly left?: LeftBehind | undefined;
}

export interface ResumeAt {
  readonly station: string;
  /** Milliseconds since 1970. */
  readonly now: number;
  /** Own sightings with a greater `seq` than the kept one: the browser may have ended between a record and this note. */
  readonly since: readonly Pick<Sighting, 'bib' | 'observedAt'>[];
}

/**
 * Takes up what the page before left, as after a reload or when the system has ended the browser. Runners who have become
 * records meanwhile are taken out of it: nobody is tallied twice. What is older than `STALE_MS` or another station's is
 * left, and said.
 */
export function resumeEntry(kept: KeptEntry | undefined, { station, now, since }: ResumeAt): ResumedEntry {
  if (!kept) return { progress: NO_PROGRESS };
  const progress = withoutTallied(kept.progress, since);
  const why = now - kept.at > STALE_MS ? 'old' : kept.station === station ? undefined : 'elsewhere';
  if (!why) return { progress };
  const bibs = bibsOf(progress.entry);
  const nothing = !bibs.length && !hasBegun(progress.entry) && !progress.repeat;
  return { progress: NO_PROGRESS, left: nothing ? undefined : { why, bibs, at: kept.at } };
}

function bibsOf({ typed, bib, lined }: TallyEntry): string[] {
  return [...new Set([bib ?? '', typed, ...lined])].filter((one) => one !== '');
}

function withoutTallied({ entry, repeat }: KeptEntry['progress'], since: ResumeAt['since']): TallyProgress {
  if (!since.length) return { entry, repeat };
  const bibs = new Set(since.map(({ bib }) => bib));
  const times = new Set(since.map(({ observedAt }) => Date.parse(observedAt)));
  const lined = entry.lined.filter((bib) => !bibs.has(bib));
  const done = entry.begunAt !== undefined && times.has(entry.begunAt);
  // Its last digits may be missing in the note: a bib that begins so and was not lined up is the one that was being typed.
  const becameRecord = since.some(
    ({ bib }) => bib === entry.typed || (bib?.startsWith(entry.typed) && !entry.lined.includes(bib)),
  );
  const typedDone = entry.typed !== '' && becameRecord && (done || !hasBegun(entry));
  const open = done ? { ...EMPTY_ENTRY, typed: entry.typed, whole: entry.whole } : entry;
  const typed = typedDone ? { typed: '', whole: false } : {};
  return { entry: { ...open, ...typed, lined }, repeat: repeat && openRepeat(repeat, times) };
}

/** What of a question is not answered by the records yet. */
function openRepeat(repeat: Repeat, times: ReadonlySet<number>): Repeat | undefined {
  const taps = repeat.taps.filter(({ at }) => !times.has(at));
  const waiting = repeat.waiting.filter(({ tap }) => !times.has(tap.at));
  if (taps.length) return { ...repeat, taps, waiting };
  // The answer was given, and not all that waited for it was kept: it is asked about once more.
  const [first, ...others] = waiting;
  return first && { ...repeat, taps: [first.tap], waiting: others };
}
