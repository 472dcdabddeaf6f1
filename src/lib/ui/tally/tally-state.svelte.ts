import { untrack } from 'svelte';
import { bibCandidates } from '../../tally/bib-candidates.ts';
import type { BibList } from '../../race/bib-list.ts';
import {
  correctedFields,
  correctionActionOf,
  correctionStep,
  openCorrection,
  type CorrectionDraft,
} from '../../tally/correction-draft.ts';
import { utcInstant } from '../../records/instant.ts';
import type { RandomBytes } from '../../records/new-id.ts';
import type { ProjectedSighting } from '../../records/projection.ts';
import type { Checkpoint, Race } from '../../race/race.ts';
import { samplingAdvice, type SamplingAdvice } from '../../race/sampling.ts';
import { proposedCheckpoint } from '../../race/station.ts';
import {
  EMPTY_ENTRY,
  hasBegun,
  nextBib,
  tallyStep,
  type TalliedRunner,
  type TallyAction,
} from '../../tally/tally-entry.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import type { KeptRecord, RecordDraft } from '../../store/add-record.ts';
import { recordCounts } from '../../store/record-counters.ts';
import { recentRecords, recordsOfBib } from '../../store/records.ts';
import type { TallyPost } from '../../store/tally-settings.ts';
import { bibInWords, feetInShort } from '../foot-words.ts';
import { RecordWriter } from '../record-writer.svelte.ts';
import { SeenBibs } from './seen-bibs.svelte.ts';
import { SHOWN, ShownRecords } from './shown-records.svelte.ts';

/** What the Tally screen needs from around it. */
export interface TallyNeeds {
  readonly db: KerbsideDatabase;
  readonly race: Race;
  readonly bibs: BibList;
  readonly post: TallyPost;
  /** The station's checkpoints, by km. */
  readonly checkpoints: readonly Checkpoint[];
  readonly clock: () => number;
  readonly randomBytes: RandomBytes;
  /** Called when a record is durable, the `count`-th since the screen opened: for the flash, the vibration and the click. */
  readonly onKept: (count: number) => void;
  /** Calls back when what `onKept` changed has been painted. */
  readonly afterPaint: (show: () => void) => void;
}

/** So long at most the screen waits with what a tap changed for the record to be durable. */
const SHOW_LATEST_MS = 150;
const CANDIDATES = 3;

/** Everything the Tally screen shows and does. Taps go in; records come out through one queue, in order. */
export class TallyState {
  /** What the taps so far make; the next tap builds on it. */
  #entry = EMPTY_ENTRY;
  /** What of it is on screen: the same, except between a tap that tallies and the moment its record is durable. */
  #shownEntry = $state.raw(EMPTY_ENTRY);
  #showTimer: ReturnType<typeof setTimeout> | undefined;
  /** Kept records whose feedback was given, but which are not in the lists on screen yet. */
  #unshown: KeptRecord[] = [];
  /** The row before a bib was dropped from it, until the next tap. */
  #rowBeforeDrop: readonly string[] | undefined;
  /** Undos that wait for the records before them to be durable. */
  #undosDue = 0;
  #correction = $state.raw<CorrectionDraft | undefined>();
  /** The sighting that the correction is of: it may leave the last five meanwhile. */
  #corrected: ProjectedSighting | undefined;
  readonly #shown = new ShownRecords();
  readonly #seen: SeenBibs;
  readonly #typed = $derived.by(() => {
    if (!this.#correction) return this.#shownEntry.whole ? '' : this.#shownEntry.typed;
    return this.#correction.freshBib ? '' : (this.#correction.after.bib ?? '');
  });
  /** They stay in their places until something else is typed: a record that is kept meanwhile moves none from under a thumb. */
  readonly #candidates = $derived.by(() => {
    const typed = this.#typed;
    const { bibs } = this.needs;
    return untrack(() => bibCandidates(typed, bibs, CANDIDATES, (bib) => this.#seen.of(bib) !== undefined));
  });
  /** How many records were made durable since the screen opened. */
  #keptCount = 0;
  readonly writer: RecordWriter;

  constructor(private readonly needs: TallyNeeds) {
    this.#seen = new SeenBibs(
      (bib) => recordsOfBib(needs.db, needs.race.id, bib),
      () => !this.writer.pending,
    );
    this.writer = new RecordWriter(
      needs.db,
      needs.randomBytes,
      (kept) => this.#kept(kept),
      () => {
        // What is not kept is listed on screen: whether to take it back is asked anew.
        this.#undosDue = 0;
        this.#show();
      },
    );
  }

  get entry() {
    return this.#shownEntry;
  }

  get correction() {
    return this.#correction;
  }

  /** The newest sightings that stand, newest first. */
  get recent() {
    return this.#shown.recent;
  }

  /** The sighting that was withdrawn last, until the next one is kept. */
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
    return this.#correction ? this.#correction.after.bib : nextBib(this.#shownEntry);
  }

  /** Bibs to choose from for what is typed. */
  get candidates(): readonly string[] {
    return this.#candidates;
  }

  /** Which checkpoint the next runner is at: chosen by hand, else the bib's next one. */
  get checkpoint(): Checkpoint {
    const { checkpoints } = this.needs;
    const chosen = this.#correction?.after.checkpoint ?? this.#shownEntry.checkpoint;
    const bib = this.shownBib;
    return checkpoints.find((c) => c.id === chosen) ?? this.#proposal(typeof bib === 'string' ? bib : undefined);
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
    return samplingAdvice(rule, passed, at, race.timeZone);
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
    const [counts, records] = await Promise.all([
      recordCounts(db, race.id),
      // Some more than are shown: withdrawn ones are left out.
      recentRecords(db, race.id, 4 * SHOWN),
    ]);
    // What was kept here meanwhile may be missing in what was read.
    if (keptBefore !== this.#keptCount) return this.refresh();
    if (!this.#shown.showReading(reading, counts, records)) return;
    for (const { bib, checkpoint, record } of this.#shown.recent) this.#seen.note(bib, checkpoint, record.observedAt);
  }

  /** One tap or key of the working area. Says whether it tallied a runner. */
  act(action: TallyAction): boolean {
    this.#showKept();
    if (this.#correction) {
      this.#correct(action);
      return false;
    }
    this.#rowBeforeDrop = action.type === 'drop' ? this.#entry.lined : undefined;
    const step = tallyStep(this.#entry, action, this.needs.bibs);
    this.#entry = step.entry;
    // The write first: everything else can wait.
    for (const runner of step.tallied) this.#keep(runner);
    const tallied = step.tallied.length > 0;
    // Laying out and painting now would come between the storage's answers and make the feedback late.
    if (tallied) this.#showSoon();
    else this.#show();
    this.#seen.lookUp(nextBib(step.entry));
    return tallied;
  }

  /**
   * A tap on a bib of the row: makes it the next one, or drops it. By its name, not by its place, since the row on screen
   * may be one runner behind.
   */
  actOnLined(type: 'pick' | 'drop', bib: string): boolean {
    const index = this.#entry.lined.indexOf(bib);
    return index >= 0 && this.act({ type, index });
  }

  /** Takes back the drop just made or the feet that wait for a bib, else the last record made here that stands. */
  undo(): void {
    this.#showKept();
    if (this.#correction) {
      this.#correction = undefined;
    } else if (this.#rowBeforeDrop) {
      this.#entry = { ...this.#entry, lined: this.#rowBeforeDrop };
      this.#rowBeforeDrop = undefined;
      this.#show();
    } else if (hasBegun(this.#entry)) {
      this.#entry = { ...this.#entry, gait: 'run', left: undefined, right: undefined, begunAt: undefined };
      this.#show();
    } else if (this.writer.pending && !this.writer.failure) {
      // The one that is meant is still on its way.
      this.#undosDue += 1;
    } else {
      this.#withdrawLast();
    }
  }

  openCorrection(sighting: ProjectedSighting): void {
    this.#correction = openCorrection(sighting.record.id, sighting);
    this.#corrected = sighting;
  }

  closeCorrection(): void {
    this.#correction = undefined;
  }

  saveCorrection(): void {
    const draft = this.#correction;
    if (!draft) return;
    this.#correction = undefined;
    const fields = correctedFields(draft);
    if (!fields) return;
    this.#write(`correction of ${bibInWords(draft.before.bib)}`, {
      kind: 'correction',
      race: this.needs.race.id,
      observer: this.observer,
      target: draft.target,
      ...fields,
    });
  }

  withdrawCorrected(): void {
    this.#showKept();
    const open = this.#correction !== undefined;
    this.#correction = undefined;
    if (open && this.#corrected) this.#withdraw(this.#corrected);
  }

  /** Withdraws the last withdrawal: the sighting stands again. */
  putBack(): void {
    this.#showKept();
    const takenBack = this.#shown.putBack();
    if (!takenBack) return;
    this.#write(`putting back ${bibInWords(takenBack.sighting.bib)}`, this.#withdrawal(takenBack.withdrawal));
  }

  #show(): void {
    clearTimeout(this.#showTimer);
    this.#shownEntry = this.#entry;
  }

  /** Shows it when the record is durable, or when that takes long. */
  #showSoon(): void {
    clearTimeout(this.#showTimer);
    this.#showTimer = setTimeout(() => this.#show(), SHOW_LATEST_MS);
  }

  #correct(action: TallyAction): void {
    const draft = this.#correction;
    if (!draft) return;
    const change = correctionActionOf(action);
    if (change) this.#correction = correctionStep(draft, change);
    else if (action.type === 'confirm') this.saveCorrection();
    else if (action.type === 'clear') this.#correction = undefined;
    this.#seen.lookUp(this.#correction?.after.bib);
  }

  #keep(runner: TalliedRunner): void {
    const { race, post } = this.needs;
    const { bib, gait, left, right } = runner;
    this.writer.write({
      now: this.needs.clock(),
      label: `${bibInWords(bib)} ${feetInShort(runner)}`,
      draft: async () => ({
        kind: 'sighting',
        race: race.id,
        observer: post.observer,
        checkpoint: runner.checkpoint ?? (await this.#nextCheckpoint(bib)),
        bib,
        ...(gait === 'walk' ? { gait } : {}),
        left,
        right,
        method: post.method,
        observedAt: utcInstant(runner.observedAt),
      }),
    });
  }

  #write(label: string, draft: RecordDraft): void {
    this.writer.write({ now: this.needs.clock(), label, draft: () => Promise.resolve(draft) });
  }

  #withdrawLast(): void {
    this.#showKept();
    const last = this.#shown.recent[0];
    if (last) this.#withdraw(last);
  }

  #withdraw(sighting: ProjectedSighting): void {
    this.#write(`withdrawal of ${bibInWords(sighting.bib)}`, this.#withdrawal(sighting.record.id));
    this.#shown.takeBack(sighting);
  }

  #withdrawal(target: string): RecordDraft {
    return { kind: 'withdrawal', race: this.needs.race.id, observer: this.observer, target };
  }

  /** Feedback first; counts, field and the last five when it is painted: drawing them all takes longer than the write. */
  #kept(kept: KeptRecord): void {
    this.#keptCount += 1;
    this.#unshown.push(kept);
    this.needs.onKept(this.#keptCount);
    if (this.#undosDue && !this.writer.pending) {
      this.#undosDue -= 1;
      // Not what was tapped since: it is this record that was meant.
      this.#withdrawLast();
    }
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

  #proposal(bib: string | undefined): Checkpoint {
    const { checkpoints } = this.needs;
    if (bib === undefined) {
      // Nobody's bib: most likely the lap that runs now.
      const last = checkpoints.find((c) => c.id === this.#shown.recent[0]?.checkpoint);
      return last ?? proposedCheckpoint(checkpoints, () => false);
    }
    const seen = this.#seen.of(bib);
    return proposedCheckpoint(checkpoints, (id) => seen?.[id] !== undefined);
  }

  async #nextCheckpoint(bib: string | null): Promise<string> {
    const { checkpoints } = this.needs;
    if (checkpoints.length > 1 && bib !== null) await this.#seen.read(bib);
    return this.#proposal(bib ?? undefined).id;
  }
}
