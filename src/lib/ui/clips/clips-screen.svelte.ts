import type { Race } from '$lib/race/race.ts';
import type { RandomBytes } from '$lib/records/new-id.ts';
import { allRecords } from '$lib/store/records.ts';
import type { KerbsideDatabase } from '$lib/store/database.ts';
import { findRace } from '$lib/store/races.ts';
import { storeFailure, storeFailureText } from '$lib/store/store-failure.ts';
import { loadTallyPost } from '$lib/store/tally-settings.ts';
import { clipFaultWords } from '$lib/video/clip-fault.ts';
import { openFrames } from './frames/open-frames.ts';
import { ReviewState } from './review-state.svelte.ts';

export interface ClipsNeeds {
  readonly db: KerbsideDatabase;
  readonly raceId: string;
  readonly now: () => number;
  readonly randomBytes: RandomBytes;
}

/** Files that were chosen on this device, one of them open. Their names are held while the page is, and kept nowhere. */
export class ClipsScreen {
  readonly #needs: ClipsNeeds;
  #race = $state.raw<Race | undefined>();
  #loaded = $state(false);
  #observer = $state('');
  #files = $state.raw<readonly File[]>([]);
  #chosen = $state.raw<File | undefined>();
  #review = $state.raw<ReviewState | undefined>();
  #progress = $state<number | undefined>();
  #fault = $state('');
  #stop: AbortController | undefined;

  constructor(needs: ClipsNeeds) {
    this.#needs = needs;
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
  /** Share of a file's index that is read, while one is opened. */
  get progress(): number | undefined {
    return this.#progress;
  }
  get fault(): string {
    return this.#fault;
  }

  async load(): Promise<void> {
    const { db, raceId } = this.#needs;
    try {
      const [stored, post] = await Promise.all([findRace(db, raceId), loadTallyPost(db, raceId)]);
      this.#race = stored?.race;
      this.#observer = post?.observer ?? '';
    } catch (error) {
      this.#fault = storeFailureText(storeFailure(error));
    }
    this.#loaded = true;
  }

  setObserver(observer: string): void {
    this.#observer = observer.trim().slice(0, 32);
  }

  async add(files: readonly File[]): Promise<void> {
    this.#files = [...this.#files, ...files];
    if (files[0]) await this.open(files[0]);
  }

  async open(file: File): Promise<void> {
    const race = this.#race;
    if (!race) return;
    this.#stop?.abort();
    const stop = (this.#stop = new AbortController());
    [this.#review, this.#fault, this.#progress, this.#chosen] = [undefined, '', 0, file];
    const opened = await openFrames(file, { signal: stop.signal, onProgress: (share) => (this.#progress = share) });
    if (this.#stop !== stop) {
      if (opened.ok) {
        opened.value.frames.close();
        opened.value.clip.close();
      }
      return;
    }
    this.#progress = undefined;
    if (!opened.ok) {
      this.#fault = clipFaultWords(opened.error);
      return;
    }
    const { db, raceId, now, randomBytes } = this.#needs;
    const records = await allRecords(db, raceId);
    this.#review = new ReviewState({
      ...{ db, race, now, randomBytes, records },
      observer: this.#observer,
      opened: opened.value,
    });
  }

  stopOpening(): void {
    this.#stop?.abort();
  }

  /** Lets go of every file. */
  leave(): void {
    this.#stop?.abort();
    this.#stop = undefined;
    this.#review = undefined;
  }
}
