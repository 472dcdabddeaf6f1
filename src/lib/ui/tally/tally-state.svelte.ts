import { untrack } from 'svelte';
import { bibCandidates } from '../../tally/bib-candidates.ts';
import type { Checkpoint } from '../../race/race.ts';
import { samplingAdvice, type SamplingAdvice } from '../../race/sampling.ts';
import {
  meantStep,
  NO_PROGRESS,
  repeatIsFor,
  type ProgressAction,
  type TallyProgress,
} from '../../tally/meant-step.ts';
import type { LeftBehind } from '../../tally/resume-entry.ts';
import { hasBegun, nextBib, type TalliedRunner } from '../../tally/tally-entry.ts';
import type { KeptRecord } from '../../store/records/add-record.ts';
import { recordCounts } from '../../store/records/record-counters.ts';
import { recentRecords, recordsOfBib } from '../../store/records/records.ts';
import { bibInWords, feetInShort } from '../foot-words.ts';
import { RecordWriter } from '../record-writer.svelte.ts';
import { Mending } from './correcting/mending.ts';
import { SeenBibs } from './seen-bibs.svelte.ts';
import { ShownRecords } from './shown-records.svelte.ts';
import { StationPlaces } from './station/station-places.ts';
import type { TallyNeeds } from './tally-needs.ts';
import { sightingDraft, type Maker } from './correcting/tally-drafts.ts';

/** So long at most the screen waits with what a tap changed for the record to be durable. */
const SHOW_LATEST_MS = 150;
const CANDIDATES = 3;
/** Own sightings that are read back: more than are shown, since withdrawn ones are left out. */
const RECENT = 20;

/** Everything the Tally screen shows and does. Taps go in; records come out through one queue, in order. */
export class TallyState {
  /** What the taps so far make; the next tap builds on it. */
  #progress: TallyProgress;
  /** What of it is on screen: the same, except between a tap that tallies and the moment its record is durable. */
  #shownProgress = $state.raw(NO_PROGRESS);
  /** What was left of an earlier entry is said until the first tap. */
  #left = $state.raw<LeftBehind | undefined>();
  #showTimer: ReturnType<typeof setTimeout> | undefined;
  /** Kept records whose feedback was given, but which are not in the lists on screen yet. */
  #unshown: KeptRecord[] = [];
  /** The row before a bib was dropped from it, until the next tap. */
  #rowBeforeDrop: readonly string[] | undefined;
  readonly #shown = new ShownRecords();
  readonly #seen: SeenBibs;
  readonly #places: StationPlaces;
  readonly #typed = $derived.by(() => {
    const draft = this.correction;
    if (!draft) return this.entry.whole ? '' : this.entry.typed;
    return draft.freshBib ? '' : (draft.after.bib ?? '');
  });
  /** They stay in their places until something else is typed: a record that is kept meanwhile moves none from under a thumb. */
  readonly #candidates = $derived.by(() => {
    const typed = this.#typed;
    const { bibs } = this.needs;
    return untrack(() => bibCandidates(typed, bibs, CANDIDATES, (bib) => this.#seen.of(bib) !== undefined));
  });
  /** How many records were made durable since the screen opened, and the `seq` of the last. */
  #keptCount = 0;
  #lastSeq = 0;
  readonly writer: RecordWriter;
  readonly mending: Mending;

  constructor(private readonly needs: TallyNeeds) {
    this.#progress = needs.keptProgress?.start ?? NO_PROGRESS;
    this.#shownProgress = this.#progress;
    this.#left = needs.keptProgress?.left;
    this.#seen = new SeenBibs(
      (bib) => recordsOfBib(needs.db, needs.race.id, bib),
      () => !this.writer.pending,
    );
    this.#places = new StationPlaces(needs, this.#seen, () => this.#shown.recent[0]?.checkpoint);
    this.writer = new RecordWriter(
      needs.db,
      needs.randomBytes,
      (kept) => this.#kept(kept),
      () => {
        this.mending.notKept();
        this.#show();
      },
    );
    this.mending = new Mending({
      shown: this.#shown,
      maker: () => this.#maker,
      write: (label, draft) => this.writer.write({ now: needs.clock(), label, draft: () => Promise.resolve(draft) }),
      underWay: () => this.writer.pending > 0 && !this.writer.failure,
      showKept: () => this.#showKept(),
    });
  }

  get entry() {
    return this.#shownProgress.entry;
  }

  /** Feet that may have been tapped by a bounce: whether they were meant is asked. */
  get repeat() {
    return this.#shownProgress.repeat;
  }

  /** For whom of the row the repeat would be. */
  get repeatIsFor() {
    return repeatIsFor(this.#shownProgress);
  }

  /** How often *Passed* was tapped without a rest: more than once, one may be too many. */
  get passesInARow(): number {
    return this.#shownProgress.passes?.count ?? 0;
  }

  /** What was left of an earlier entry, until the first tap. */
  get left() {
    return this.#left;
  }

  get correction() {
    return this.mending.draft;
  }

  /** The newest sightings that stand, newest first. */
  get recent() {
    return this.#shown.recent;
  }

  /** The sighting that the next redo brings back: the one withdrawn last, until the next one is kept. */
  get takenBack() {
    return this.#shown.takenBack;
  }

  get counts() {
    return this.#shown.counts;
  }

  get lastKept() {
    return this.#shown.lastKept;
  }

  get bibs() {
    return this.needs.bibs;
  }

  get checkpoints() {
    return this.needs.checkpoints;
  }

  get observer() {
    return this.needs.post.observer;
  }

  /** The bib in the large field: the correction's, else that of the runner whose feet come next. */
  get shownBib(): string | null | undefined {
    return this.correction ? this.correction.after.bib : nextBib(this.entry);
  }

  /** Bibs to choose from for what is typed. */
  get candidates(): readonly string[] {
    return this.#candidates;
  }

  /** Which checkpoint the next runner is at: chosen by hand, else the bib's next one. */
  get checkpoint(): Checkpoint {
    const chosen = this.correction?.after.checkpoint ?? this.#places.here ?? this.entry.checkpoint;
    return this.#places.of(chosen, this.shownBib ?? null);
  }

  /** When the bib in the field was last tallied at this checkpoint, milliseconds since 1970. */
  get seenBefore(): number | undefined {
    const bib = this.shownBib;
    return typeof bib === 'string' ? this.#seen.of(bib)?.[this.checkpoint.id] : undefined;
  }

  advice(at: number): SamplingAdvice {
    const { race, post } = this.needs;
    const rule = race.samplingRule ?? { kind: 'everyone' };
    const passed = this.#shown.counts.tallied + this.writer.waiting.length + post.countShift;
    return samplingAdvice(rule, passed, at, race.timeZone, this.#settledBib);
  }

  /** The bib in the field; one still being typed that may become another of the list is nobody's yet. */
  get #settledBib(): string | null | undefined {
    const bib = this.shownBib;
    const { typed, whole } = this.entry;
    const { bibs } = this.needs;
    const open = typeof bib === 'string' && typed === bib && !whole && !bibs.has(bib) && bibs.beginsAnother(bib);
    return open ? undefined : bib;
  }

  /** Reads what the device already holds. */
  async open(): Promise<void> {
    await this.refresh();
  }

  /** Reads counts and the last five anew, as after another tab or the lead changed something. */
  async refresh(): Promise<void> {
    const { db, race } = this.needs;
    const reading = this.#shown.beginReading();
    const keptBefore = this.#keptCount;
    const [counts, records] = await Promise.all([recordCounts(db, race.id), recentRecords(db, race.id, RECENT)]);
    // What was kept here meanwhile may be missing in what was read.
    if (keptBefore !== this.#keptCount) return this.refresh();
    if (!this.#shown.showReading(reading, counts, records)) return;
    for (const { bib, checkpoint, record } of this.#shown.recent) this.#seen.note(bib, checkpoint, record.observedAt);
  }

  /** One tap or key of the working area. Says whether it tallied a runner. */
  act(action: ProgressAction): boolean {
    this.#showKept();
    if (this.#left) this.#left = undefined;
    if (this.correction) {
      if (action.type !== 'meant' && action.type !== 'notMeant') this.mending.act(action);
      this.#seen.lookUp(this.correction?.after.bib);
      return false;
    }
    if (action.type === 'checkpoint' && this.#places.here !== undefined) {
      this.needs.onMoved(action.id);
      return false;
    }
    this.#rowBeforeDrop = action.type === 'drop' ? this.#progress.entry.lined : undefined;
    const step = meantStep(this.#progress, action, this.needs.clock(), this.needs.bibs);
    this.#progress = step.progress;
    // The write first: everything else can wait.
    for (const runner of step.tallied) this.#keep(runner);
    const tallied = step.tallied.length > 0;
    // Laying out and painting now would come between the storage's answers and make the feedback late.
    if (tallied) this.#showSoon();
    else this.#show();
    this.#seen.lookUp(nextBib(step.progress.entry));
    return tallied;
  }

  /**
   * A tap on a bib of the row: makes it the next one, or drops it. By its name, not by its place, since the row on screen
   * may be one runner behind.
   */
  actOnLined(type: 'pick' | 'drop', bib: string): boolean {
    const index = this.#progress.entry.lined.indexOf(bib);
    return index >= 0 && this.act({ type, index });
  }

  /**
   * Takes back the drop just made, the repeat that is in question or the feet that wait for a bib, else the last record made
   * here that stands.
   */
  undo(): void {
    this.#showKept();
    const { entry, repeat } = this.#progress;
    if (this.correction) {
      this.mending.close();
    } else if (this.#rowBeforeDrop) {
      this.#change({ ...entry, lined: this.#rowBeforeDrop });
      this.#rowBeforeDrop = undefined;
    } else if (repeat) {
      this.act({ type: 'notMeant' });
    } else if (hasBegun(entry)) {
      this.#change({ ...entry, gait: 'run', left: undefined, right: undefined, begunAt: undefined });
    } else {
      this.mending.stepBack();
    }
  }

  get #maker(): Maker {
    return { race: this.needs.race.id, observer: this.observer };
  }

  #change(entry: TallyProgress['entry']): void {
    this.#progress = { ...this.#progress, entry };
    this.#show();
  }

  #show(): void {
    clearTimeout(this.#showTimer);
    this.#shownProgress = this.#progress;
    // A runner whose record is on its way is still half entered, should the browser end now.
    if (this.writer.pending) return;
    this.needs.keptProgress?.note(this.#progress, Math.max(this.#lastSeq, this.#shown.counts.lastSeq));
  }

  /** Shows it when the record is durable, or when that takes long. */
  #showSoon(): void {
    clearTimeout(this.#showTimer);
    this.#showTimer = setTimeout(() => this.#show(), SHOW_LATEST_MS);
  }

  #keep(runner: TalliedRunner): void {
    const { post } = this.needs;
    // Where the observer stands now, not where they will when its turn comes.
    const place = this.#places.here ?? runner.checkpoint;
    this.writer.write({
      now: this.needs.clock(),
      label: `${bibInWords(runner.bib)} ${feetInShort(runner, post.towards)}`,
      draft: async () =>
        sightingDraft(this.#maker, runner, post.method, place ?? (await this.#places.next(runner.bib))),
    });
  }

  /** Feedback first; counts, field and the last five when it is painted: drawing them all takes longer than the write. */
  #kept(kept: KeptRecord): void {
    this.#keptCount += 1;
    this.#lastSeq = kept.record.seq;
    this.#unshown.push(kept);
    this.needs.onKept(this.#keptCount, kept);
    if (!this.writer.pending) this.mending.allKept();
    if (this.#unshown.length) this.needs.afterPaint(() => this.#showKept());
  }

  /** Brings the screen up to what is kept; what a tap builds on is always that. */
  #showKept(): void {
    if (!this.#unshown.length) return;
    const kept = this.#unshown;
    this.#unshown = [];
    this.#show();
    for (const one of kept) this.#showOne(one);
  }

  #showOne(kept: KeptRecord): void {
    const { record } = kept;
    this.#shown.showKept(kept);
    if (record.kind === 'sighting') {
      this.#seen.note(record.bib, record.checkpoint, record.observedAt);
    } else {
      // Rare enough to read everything anew.
      this.#seen.forget();
      this.refresh().catch(() => undefined);
    }
  }
}
