import { hearOfCheckCount, openDoubts } from '../../store/race/check-count.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { recordCounts } from '../../store/records/record-counters.ts';
import { hearOfRecords } from '../../store/records/record-news.ts';
import { hearOfSetUp } from '../../store/race/set-up-news.ts';

/** Records come in bursts: counted is when nothing has come for this long. */
const QUIET_MS = 5_000;
/** Counting may take this share of the time, so that a slow tablet is left to its work. */
const REST_FACTOR = 10;
/** With more records than these the count is left to those who open Check. */
const MOST_RECORDS = 200_000;

/**
 * How many doubts of a race are open, for the list of screens. What Check has counted last is taken while it is right;
 * else it is counted anew in a worker, once records have stopped coming. Until then nothing is said.
 */
export class OpenDoubtsView {
  #open = $state<number | undefined>();
  #shown = $state(false);
  readonly #db: KerbsideDatabase;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #counting: Promise<void> | undefined;
  #restMs = QUIET_MS;

  constructor(db: KerbsideDatabase) {
    this.#db = db;
  }

  /** `undefined` while it is not known. */
  get open(): number | undefined {
    return this.#open;
  }

  /** Whether it has been known since the race was followed. */
  get shown(): boolean {
    return this.#shown;
  }

  /**
   * Follows a race until the returned function is called.
   *
   * @param mayCount whether this page may count by itself: Check counts anyway
   */
  follow(raceId: string, mayCount: () => boolean): () => void {
    let over = false;
    const look = async () => {
      const open = await openDoubts(this.#db, raceId);
      if (over) return;
      this.#open = open;
      this.#shown ||= open !== undefined;
      clearTimeout(this.#timer);
      if (open === undefined) this.#timer = setTimeout(() => void countSoon().catch(() => undefined), this.#restMs);
    };
    const countSoon = async () => {
      if (over || this.#counting || !mayCount() || document.visibilityState === 'hidden') return;
      this.#counting = this.#count(raceId).finally(() => (this.#counting = undefined));
      await this.#counting;
    };
    // A read that fails shows no number: Check itself says what is wrong.
    const hear = () => void look().catch(() => (this.#open = undefined));
    const stops = [hearOfRecords(raceId, hear), hearOfSetUp(raceId, hear), hearOfCheckCount(raceId, hear)];
    document.addEventListener('visibilitychange', hear);
    hear();
    return () => {
      over = true;
      clearTimeout(this.#timer);
      document.removeEventListener('visibilitychange', hear);
      for (const stop of stops) stop();
      this.#open = undefined;
      this.#shown = false;
    };
  }

  async #count(raceId: string): Promise<void> {
    const { lastSeq, pulled } = await recordCounts(this.#db, raceId);
    if (lastSeq + pulled > MOST_RECORDS) return;
    const from = performance.now();
    const { CheckRunner } = await import('../check/run-check.ts');
    const runner = new CheckRunner(this.#db);
    try {
      await runner.count(raceId);
    } finally {
      runner.stop();
      this.#restMs = Math.max(QUIET_MS, REST_FACTOR * (performance.now() - from));
    }
  }
}
