import type { Race } from '../../../race/race.ts';
import { CODE_PACES, type CodePace, type CodeSizeName } from '../../../screen/code-size.ts';
import { CodeSequence } from '../../../screen/code-sequence.ts';
import { confirmationCode } from '../../../screen/confirmation-code.ts';
import type { Payload } from '../../../screen/payload.ts';
import { SCREEN_LIMITS } from '../../../screen/screen-limits.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { markSavedToFile } from '../../../store/records/record-counters.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { observersIn } from '../../../tables/handoff-file.ts';
import { deviceHandoff, type DeviceHandoff } from '../../handoff/files/device-handoff.ts';
import { packFile } from './pack-file.ts';

/** What leaves this device, said before anything is shown. */
export interface ReadyToShow {
  readonly race: Race;
  readonly records: number;
  readonly observers: number;
  readonly notes: number;
  readonly confirmation: string;
  readonly lastSeq: number;
  readonly payload: Payload;
}

const LONGEST_SHOWING_MS = 10 * 60_000;

/** Showing a race's records to another tablet's camera. */
export class ScreenShowing {
  #busy = $state(false);
  #ready = $state.raw<ReadyToShow | null>(null);
  #sequence = $state.raw<CodeSequence | null>(null);
  #said = $state('');
  #problem = $state('');
  #size = $state<CodeSizeName>('usual');
  #pace = $state<CodePace>('usual');
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;

  readonly #onMarked: () => void;

  /**
   * @param pace with which it begins: the calm one for who asked for reduced motion
   * @param onMarked called when records were marked as handed on
   */
  constructor(db: KerbsideDatabase, raceId: string, pace: CodePace, onMarked: () => void) {
    this.#onMarked = onMarked;
    this.#db = db;
    this.#raceId = raceId;
    this.#pace = pace;
  }

  get busy() {
    return this.#busy;
  }
  get ready() {
    return this.#ready;
  }
  /** What is being shown; `null` while nothing is. */
  get sequence() {
    return this.#sequence;
  }
  /** How the last showing ended. */
  get said() {
    return this.#said;
  }
  get problem() {
    return this.#problem;
  }
  get size() {
    return this.#size;
  }
  set size(size: CodeSizeName) {
    this.#size = size;
    this.#problem = '';
  }
  get pace() {
    return this.#pace;
  }
  set pace(pace: CodePace) {
    this.#pace = pace;
  }
  /** Codes a second. */
  get rate(): number {
    return CODE_PACES[this.#pace];
  }
  /** Seconds in which everything is shown once. */
  get seconds(): number {
    return Math.ceil((this.#sequence?.blocks ?? 0) / this.rate);
  }

  /** Reads and packs what would be shown. */
  async prepare(): Promise<void> {
    if (this.#busy) return;
    this.#busy = true;
    this.#said = '';
    this.#problem = '';
    this.#ready = null;
    try {
      const handoff = await deviceHandoff(this.#db, this.#raceId);
      if (handoff) await this.#pack(handoff);
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    } finally {
      this.#busy = false;
    }
  }

  async #pack({ race, records, lastSeq, file }: DeviceHandoff): Promise<void> {
    if (records.length > SCREEN_LIMITS.records) {
      const most = SCREEN_LIMITS.records.toLocaleString('en-GB');
      this.#problem = `${records.length.toLocaleString('en-GB')} records are more than codes can carry (${most}). Save a hand-off file instead.`;
      return;
    }
    const packed = await packFile(file.join(''));
    if (!packed.ok) {
      this.#problem = 'This is more than codes can carry. Save a hand-off file instead.';
      return;
    }
    this.#ready = {
      race,
      records: records.length,
      observers: observersIn(records).length,
      notes: records.filter((record) => record.note).length,
      confirmation: confirmationCode(packed.value.digest),
      lastSeq,
      payload: packed.value,
    };
  }

  /** Forgets what was packed. */
  forget(): void {
    this.end('');
    this.#ready = null;
    this.#problem = '';
  }

  /**
   * Begins to show.
   *
   * @param session 32 random bits, new for each showing
   */
  show(session: number): void {
    if (!this.#ready) return;
    const sequence = new CodeSequence(this.#ready.payload.bytes, this.#size, session);
    if (!sequence.fits) {
      this.#problem =
        'This is more than codes of this size can carry. Choose finer codes, or save a hand-off file instead.';
      return;
    }
    this.#said = '';
    this.#problem = '';
    this.#sequence = sequence;
    this.#timer = setTimeout(() => this.end('Ten minutes are up: the codes are no longer shown.'), LONGEST_SHOWING_MS);
  }

  end(said: string): void {
    clearTimeout(this.#timer);
    if (!this.#sequence) return;
    this.#sequence = null;
    this.#said = said;
  }

  /** The other tablet has it: marked as saving a file does. */
  async theyHaveIt(): Promise<void> {
    const ready = this.#ready;
    if (!ready) return;
    this.end('');
    try {
      await markSavedToFile(this.#db, this.#raceId, ready.lastSeq);
      this.#said = 'Noted: the other tablet has these records.';
      this.#ready = null;
      this.#onMarked();
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    }
  }
}
