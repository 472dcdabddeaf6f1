import { inputOfRecords } from '$lib/check/input/input-of-records.ts';
import { drawsOfRace } from '$lib/findings/sections/corrected/draws-of-race.ts';
import type { Race } from '$lib/race/race.ts';
import { wallClockAt } from '$lib/race/wall-clock.ts';
import type { RandomBytes } from '$lib/records/new-id.ts';
import { viewOfRace } from '$lib/sightings/race-view.ts';
import type { KerbsideDatabase } from '$lib/store/database.ts';
import { deviceKnowledge } from '$lib/store/hub/known-devices.ts';
import { loadOldDraws } from '$lib/store/race/old-draws.ts';
import { findRace, loadResults, loadStartList } from '$lib/store/race/races.ts';
import { allRecords } from '$lib/store/records/records.ts';
import { storeFailure, storeFailureWords } from '$lib/store/store-failure.ts';
import { loadTallyPost } from '$lib/store/race/tally-settings.ts';
import { utcInstant } from '$lib/records/instant.ts';
import { clipFaultWords } from '$lib/video/clip-fault.ts';
import { openFrames, type OpenedFrames } from './frames/open-frames.ts';
import { knownClips, type KnownClip } from './known-clips.ts';
import { Passings, reviewPlans, type ReviewPlan } from './review/review-plan.ts';
import { ReviewState } from './review/review-state.svelte.ts';
import { PassageSearch } from './search/passage-search.svelte.ts';

export interface ClipsNeeds {
  readonly db: KerbsideDatabase;
  readonly raceId: string;
  readonly now: () => number;
  readonly randomBytes: RandomBytes;
  /** A clip that another screen leads to, and a frame of it. */
  readonly asked?: { readonly clip: string; readonly frame: number };
}

/** Bibs that are proposed at a time. */
const MOST_DUE = 6;

/** Files that were chosen on this device, one of them open. Their names are held while the page is, and kept nowhere. */
export class ClipsScreen {
  readonly #needs: ClipsNeeds;
  #race = $state.raw<Race | undefined>();
  #loaded = $state(false);
  #observer = $state('');
  #files = $state.raw<readonly File[]>([]);
  #chosen = $state.raw<File | undefined>();
  #review = $state.raw<ReviewState | undefined>();
  #search = $state.raw<PassageSearch | undefined>();
  #plans = $state.raw<readonly ReviewPlan[]>([]);
  #known = $state.raw<readonly KnownClip[]>([]);
  #passings = $state.raw<Passings | undefined>();
  /** The clip whose file a person is asked for. */
  #wanted = $state<string | undefined>();
  #progress = $state<number | undefined>();
  #fault = $state('');
  #stop: AbortController | undefined;

  constructor(needs: ClipsNeeds) {
    this.#needs = needs;
    this.#wanted = needs.asked?.clip;
  }

  get race(): Race | undefined {
    return this.#race;
  }
  get loaded(): boolean {
    return this.#loaded;
  }
  get observer(): string {
    return this.#observer;
  }
  get files(): readonly File[] {
    return this.#files;
  }
  get chosen(): File | undefined {
    return this.#chosen;
  }
  get review(): ReviewState | undefined {
    return this.#review;
  }
  get search(): PassageSearch | undefined {
    return this.#search;
  }
  /** Runners drawn for review, by checkpoint. */
  get plans(): readonly ReviewPlan[] {
    return this.#plans;
  }
  /** Clips of this race that this observer worked on. */
  get known(): readonly KnownClip[] {
    return this.#known.filter(({ marks, record }) => marks > 0 || record.clip === this.#wanted);
  }
  /** The clip whose file is asked for. */
  get wanted(): KnownClip | undefined {
    return this.#known.find(({ record }) => record.clip === this.#wanted);
  }
  /** Share of a file's index that is read, while one is opened. */
  get progress(): number | undefined {
    return this.#progress;
  }
  get fault(): string {
    return this.#fault;
  }
  /** Bibs due about the shown frame, without those closed on this clip already. */
  get due(): readonly string[] {
    const review = this.#review;
    const ms = review?.times.clockAt(review.film.frame) ?? null;
    if (!review?.clip || ms === null || !this.#passings) return [];
    const closed = review.passages.flatMap(({ bib }) => bib ?? []);
    return this.#passings
      .dueAt(review.clip.checkpoint, ms, MOST_DUE + closed.length)
      .filter((bib) => !closed.includes(bib))
      .slice(0, MOST_DUE);
  }

  /** Clock time in the race's zone, or the device's where it has none. */
  clock(ms: number): string {
    const zone = this.#race?.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
    return wallClockAt(utcInstant(ms), zone).time;
  }

  async load(): Promise<void> {
    const { db, raceId } = this.#needs;
    try {
      const [stored, post] = await Promise.all([findRace(db, raceId), loadTallyPost(db, raceId)]);
      this.#race = stored?.race;
      this.#observer = post?.observer ?? '';
      if (stored) await this.#loadPlans(stored.race);
    } catch (error) {
      this.#fault = storeFailureWords(storeFailure(error));
    }
    this.#loaded = true;
  }

  async #loadPlans(race: Race): Promise<void> {
    const { db, raceId } = this.#needs;
    const [records, kept, startList, results, devices] = await Promise.all([
      allRecords(db, raceId),
      loadOldDraws(db, raceId),
      loadStartList(db, raceId),
      loadResults(db, raceId),
      deviceKnowledge(db, raceId),
    ]);
    const view = viewOfRace(race, records);
    const lists = { startList: startList.rows, results: results.rows, ...devices };
    this.#passings = new Passings(inputOfRecords(view, lists));
    const drawn = drawsOfRace(view, kept).map(({ checkpoint, runners }) => ({
      checkpoint,
      bibs: runners.map(({ bib }) => bib),
    }));
    this.#plans = reviewPlans(view, drawn, this.#passings);
    this.#known = knownClips(view, this.#observer);
  }

  setObserver(observer: string): void {
    this.#observer = observer.trim().slice(0, 32);
  }

  /** Asks for the file of a clip; `undefined`: any will do. */
  want(clip: string | undefined): void {
    [this.#wanted, this.#fault] = [clip, ''];
  }

  async add(files: readonly File[]): Promise<void> {
    this.#files = [...this.#files, ...files];
    if (files[0]) await this.open(files[0]);
  }

  async open(file: File): Promise<void> {
    const race = this.#race;
    if (!race) return;
    this.#close();
    const stop = (this.#stop = new AbortController());
    [this.#fault, this.#progress, this.#chosen] = ['', 0, file];
    const opened = await openFrames(file, { signal: stop.signal, onProgress: (share) => (this.#progress = share) });
    if (this.#stop !== stop) {
      if (opened.ok) letGo(opened.value);
      return;
    }
    this.#progress = undefined;
    if (!opened.ok) this.#fault = clipFaultWords(opened.error);
    else if (this.wanted && opened.value.clip.facts.clip !== this.#wanted) {
      letGo(opened.value);
      this.#fault =
        'This is not the clip of these marks: another file, or one that was trimmed or converted. The marks stay.';
    } else await this.#begin(race, file, opened.value);
  }

  async #begin(race: Race, file: File, opened: OpenedFrames): Promise<void> {
    const { db, raceId, now, randomBytes, asked } = this.#needs;
    const records = await allRecords(db, raceId);
    const review = new ReviewState({ ...{ db, race, now, randomBytes, records, opened }, observer: this.#observer });
    if (asked?.clip === opened.clip.facts.clip) review.film.goTo(asked.frame);
    this.#wanted = undefined;
    this.#search = new PassageSearch(file);
    this.#review = review;
  }

  stopOpening(): void {
    this.#stop?.abort();
  }

  #close(): void {
    this.#stop?.abort();
    this.#search?.stop();
    [this.#search, this.#review] = [undefined, undefined];
  }

  /** Lets go of every file. */
  leave(): void {
    this.#close();
    this.#stop = undefined;
  }
}

function letGo({ frames, clip }: OpenedFrames): void {
  frames.close();
  clip.close();
}
