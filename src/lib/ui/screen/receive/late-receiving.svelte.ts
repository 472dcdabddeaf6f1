import type { KerbsideDatabase } from '../../../store/database.ts';
import { HandoffIntake } from '../../handoff/files/handoff-intake.svelte.ts';
import { NOT_LOADED } from '../not-loaded.ts';
import type ReceiveStages from './ReceiveStages.svelte';
import type { ScreenReceiving } from './screen-receiving.svelte.ts';

interface Loaded {
  readonly Stages: typeof ReceiveStages;
  readonly state: ScreenReceiving;
}

/** Receiving from a screen, whose code is loaded when a person first asks for it: most who open the page never do. */
export class LateReceiving {
  readonly intake: HandoffIntake;
  #loaded = $state.raw<Loaded | null>(null);
  #loading = $state(false);
  /** Counts what was asked for: what was left while it loaded does not begin. */
  #turn = 0;
  readonly #db: KerbsideDatabase;
  readonly #expectedRace: string | undefined;

  /**
   * @param expectedRace the race on screen; without one, any race is received
   * @param onBrought called when records came that the hub may not have
   */
  constructor(db: KerbsideDatabase, expectedRace: string | undefined, onBrought: () => void) {
    this.#db = db;
    this.#expectedRace = expectedRace;
    this.intake = new HandoffIntake(db, onBrought);
  }

  get loaded(): Loaded | null {
    return this.#loaded;
  }
  /** Whether it loads, or something is being received. */
  get busy(): boolean {
    return this.#loading || (this.#loaded !== null && this.#loaded.state.phase !== 'idle');
  }

  /** Films another tablet's codes with the camera. */
  async film(): Promise<void> {
    await (await this.#load())?.film();
  }

  /** Reads the codes in a film. */
  async readFilm(file: File): Promise<void> {
    await (await this.#load())?.readFilm(file);
  }

  /** Stops, and forgets what came. */
  leave(): void {
    this.#turn += 1;
    this.#loading = false;
    this.#loaded?.state.leave();
  }

  /** The page is not in view any more. */
  hide(): void {
    if (this.#loading) this.leave();
    else this.#loaded?.state.hide();
  }

  async #load(): Promise<ScreenReceiving | null> {
    if (this.busy) return null;
    this.#turn += 1;
    const turn = this.#turn;
    this.#loading = true;
    this.intake.forget();
    try {
      const loaded = (this.#loaded ??= await this.#fetched());
      return turn === this.#turn ? loaded.state : null;
    } catch {
      if (turn === this.#turn) this.intake.refuse(NOT_LOADED);
      return null;
    } finally {
      if (turn === this.#turn) this.#loading = false;
    }
  }

  async #fetched(): Promise<Loaded> {
    const [{ ScreenReceiving }, { default: Stages }] = await Promise.all([
      import('./screen-receiving.svelte.ts'),
      import('./ReceiveStages.svelte'),
    ]);
    return { Stages, state: new ScreenReceiving(this.#db, this.#expectedRace, this.intake) };
  }
}
