import type { CodePace } from '../../../screen/code-size.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { NOT_LOADED } from '../not-loaded.ts';
import type { ScreenShowing } from './screen-showing.svelte.ts';
import type ShowStages from './ShowStages.svelte';

interface Loaded {
  readonly Stages: typeof ShowStages;
  readonly state: ScreenShowing;
}

/** Showing to another tablet, whose code is loaded when a person first asks for it: most who open the page never do. */
export class LateShowing {
  #loaded = $state.raw<Loaded | null>(null);
  #loading = $state(false);
  #problem = $state('');
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  readonly #pace: CodePace;
  readonly #onMarked: () => void;

  /**
   * @param pace with which it begins: the calm one for who asked for reduced motion
   * @param onMarked called when records were marked as handed on
   */
  constructor(db: KerbsideDatabase, raceId: string, pace: CodePace, onMarked: () => void) {
    this.#db = db;
    this.#raceId = raceId;
    this.#pace = pace;
    this.#onMarked = onMarked;
  }

  get loaded(): Loaded | null {
    return this.#loaded;
  }
  get busy(): boolean {
    return this.#loading || (this.#loaded?.state.busy ?? false);
  }
  /** How the last showing ended. */
  get said(): string {
    return this.#loaded?.state.said ?? '';
  }
  get problem(): string {
    return this.#problem || (this.#loaded?.state.problem ?? '');
  }

  /** Reads and packs what would be shown. */
  async prepare(): Promise<void> {
    if (this.busy) return;
    this.#loading = true;
    this.#problem = '';
    try {
      this.#loaded ??= await this.#fetched();
    } catch {
      this.#problem = NOT_LOADED;
      return;
    } finally {
      this.#loading = false;
    }
    await this.#loaded.state.prepare();
  }

  /** Forgets what was packed. */
  forget(): void {
    this.#loaded?.state.forget();
  }

  async #fetched(): Promise<Loaded> {
    const [{ ScreenShowing }, { default: Stages }] = await Promise.all([
      import('./screen-showing.svelte.ts'),
      import('./ShowStages.svelte'),
    ]);
    return { Stages, state: new ScreenShowing(this.#db, this.#raceId, this.#pace, this.#onMarked) };
  }
}
