import type { Sighting } from '../../records/record.ts';
import { keptEntryText, readKeptEntry, type KeptEntry } from '../../tally/kept-entry.ts';
import { NO_PROGRESS, type TallyProgress } from '../../tally/meant-step.ts';
import { resumeEntry, type LeftBehind } from '../../tally/resume-entry.ts';
import type { Held } from './device/hold-alone.ts';

/** What keeping the entry needs from around it. */
export interface KeptProgressNeeds {
  readonly raceId: string;
  /** Who tallies where, now. */
  readonly station: () => string;
  readonly clock: () => number;
  /** The tab's own storage, written at once as the page goes; a browser may refuse it. */
  readonly session: () => Pick<Storage, 'getItem' | 'setItem'>;
  /** The device's store, which outlives the browser's process. */
  readonly load: () => Promise<string | undefined>;
  readonly save: (text: string) => Promise<void>;
  /** Own sightings after this `seq`. */
  readonly sightingsAfter: (seq: number) => Promise<readonly Sighting[]>;
  /** The store holds the entry of one tab; another one keeps to its own storage. */
  readonly hold: (onHeld: () => void) => Promise<Held>;
  /** Calls back when what the tap changed has been painted: writing before it would make the tap late. */
  readonly afterPaint: (work: () => void) => void;
}

/** The line-up and the half-entered runner, which neither a reload nor the end of the browser must lose. */
export class KeptProgress {
  #start: TallyProgress = NO_PROGRESS;
  #left: LeftBehind | undefined;
  #last: KeptEntry | undefined;
  #held: Held | undefined;
  /** This tab is the one whose entry the store holds. */
  #mine = false;
  #due = false;
  #writing = false;
  readonly #key: string;

  constructor(private readonly needs: KeptProgressNeeds) {
    this.#key = `tally-progress:${needs.raceId}`;
  }

  /** What Tally begins with. */
  get start(): TallyProgress {
    return this.#start;
  }

  /** What was left of an earlier entry, to be said. */
  get left(): LeftBehind | undefined {
    return this.#left;
  }

  /** Reads what the page before left. */
  async open(): Promise<void> {
    const { needs } = this;
    this.#held = await needs.hold(() => {
      this.#mine = true;
      this.#save();
    });
    this.#mine = this.#held.first;
    const stored = this.#mine ? await needs.load().catch(() => undefined) : undefined;
    const kept = later(readKeptEntry(this.#ofSession()), readKeptEntry(stored ?? ''));
    const since = kept ? await needs.sightingsAfter(kept.seq) : [];
    const { progress, left } = resumeEntry(kept, { station: needs.station(), now: needs.clock(), since });
    this.#start = progress;
    this.#left = left;
  }

  /** Puts down what the taps so far make; `seq` is that of the last own record. */
  note(progress: TallyProgress, seq: number): void {
    const { station, clock, afterPaint } = this.needs;
    this.#last = { station: station(), at: clock(), seq, progress };
    if (this.#due) return;
    this.#due = true;
    afterPaint(() => {
      this.#due = false;
      this.#save();
    });
  }

  /** As the page goes: what was noted last is put down at once, and another tab may keep its own. */
  close(): void {
    this.putDown();
    this.#held?.release();
    this.#mine = false;
  }

  /** Puts down at once what was noted last. */
  putDown(): void {
    if (!this.#last) return;
    try {
      this.needs.session().setItem(this.#key, keptEntryText(this.#last));
    } catch {
      // The store has what was painted.
    }
  }

  #ofSession(): string {
    try {
      return this.needs.session().getItem(this.#key) ?? '';
    } catch {
      return '';
    }
  }

  #save(): void {
    const kept = this.#last;
    if (!kept || !this.#mine || this.#writing) return;
    this.#writing = true;
    this.needs
      .save(keptEntryText(kept))
      .catch(() => undefined)
      .finally(() => {
        this.#writing = false;
        if (kept !== this.#last) this.#save();
      });
  }
}

function later(one: KeptEntry | undefined, other: KeptEntry | undefined): KeptEntry | undefined {
  if (!one || !other) return one ?? other;
  return one.at >= other.at ? one : other;
}
