import { NO_PROGRESS, type TallyProgress } from '../../tally/meant-step.ts';
import { progressText, readProgress } from '../../tally/progress-text.ts';

/** So long after a tap it is put down: writing at once would come between the tap and its record. */
const PUT_DOWN_AFTER_MS = 250;

/** The line-up and the half-entered runner of this tab, which a reload must not lose. Another tab has its own. */
export class KeptProgress {
  #timer: ReturnType<typeof setTimeout> | undefined;
  #progress = NO_PROGRESS;
  readonly #key: string;

  constructor(
    raceId: string,
    /** The tab's own storage; a browser may refuse it. */
    private readonly storage: () => Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>,
  ) {
    this.#key = `tally-progress:${raceId}`;
  }

  /** What the page before left. */
  read(): TallyProgress {
    try {
      return readProgress(this.storage().getItem(this.#key) ?? '');
    } catch {
      return NO_PROGRESS;
    }
  }

  /** Puts it down soon. */
  note(progress: TallyProgress): void {
    this.#progress = progress;
    this.#timer ??= setTimeout(() => this.putDown(), PUT_DOWN_AFTER_MS);
  }

  /** Puts down at once what was noted, as when the page goes. */
  putDown(): void {
    if (this.#timer === undefined) return;
    clearTimeout(this.#timer);
    this.#timer = undefined;
    const text = progressText(this.#progress);
    try {
      if (text) this.storage().setItem(this.#key, text);
      else this.storage().removeItem(this.#key);
    } catch {
      // Then a reload begins anew, as in a browser that keeps nothing.
    }
  }
}
