import { utcInstant } from '../records/instant.ts';
import { newId, type RandomBytes } from '../records/new-id.ts';
import type { TallyRecord } from '../records/record.ts';
import type { KerbsideDatabase } from '../store/database.ts';
import { addAndCount, type KeptRecord, type RecordDraft } from '../store/records/add-record.ts';
import { storeFailure, type StoreFailure } from '../store/store-failure.ts';

/** A record on its way to the storage. */
export interface Unwritten {
  /** Milliseconds since 1970, the tap that completed it. */
  readonly now: number;
  /** Made when its turn comes, since it may depend on those before it. */
  readonly draft: () => Promise<RecordDraft>;
  /** In words, for the screen while it cannot be kept. */
  readonly label: string;
}

/**
 * Writes records one after the other in the order of the taps. One that cannot be written stays at the head, with all
 * behind it, until a later try succeeds: order is kept and nothing is dropped.
 */
export class RecordWriter {
  #queue: readonly Unwritten[] = [];
  /** Those of the queue that are on screen because they cannot be kept. */
  #waiting = $state.raw<readonly Unwritten[]>([]);
  #failure = $state.raw<StoreFailure | undefined>();
  #busy = false;
  /** Those that were written into a hand-off file in place of the storage, with what stands there. */
  #filed = $state.raw<readonly { readonly unwritten: Unwritten; readonly record: TallyRecord }[]>([]);
  #fileDevice = '';
  #fileSeq = 0;
  /** What a file was given to hold, for good: a record that is kept after all has the id and the words of the file. */
  readonly #inFiles = new WeakMap<Unwritten, { readonly draft: RecordDraft; readonly record: TallyRecord }>();

  constructor(
    private readonly db: KerbsideDatabase,
    private readonly randomBytes: RandomBytes,
    private readonly onKept: (kept: KeptRecord) => void,
    private readonly onFailed: () => void,
  ) {}

  /** How many records are not durable yet; not watched, since a screen that draws it would hold up the storage. */
  get pending(): number {
    return this.#queue.length;
  }

  /** Records that could not be kept so far, oldest first; none while all goes well. */
  get waiting(): readonly Unwritten[] {
    return this.#waiting;
  }

  /** Why the oldest of them could not be written; `undefined` while all goes well. */
  get failure(): StoreFailure | undefined {
    return this.#failure;
  }

  write(unwritten: Unwritten): void {
    this.#queue = [...this.#queue, unwritten];
    if (this.#failure) this.#waiting = this.#queue;
    void this.retry();
  }

  /** How many of those that wait stand in a hand-off file. */
  get filed(): number {
    return this.#filed.length;
  }

  /**
   * The waiting records as a hand-off file holds them. They come from a device of their own, so that their `seq` neither
   * repeats nor leaves a gap in this tablet's; asked again, the same ones are the same records.
   */
  async asRecords(): Promise<TallyRecord[]> {
    for (const unwritten of this.#queue.slice(this.#filed.length)) {
      const { record } = this.#inFiles.get(unwritten) ?? (await this.#forFile(unwritten));
      this.#filed = [...this.#filed, { unwritten, record }];
    }
    return this.#filed.map((one) => one.record);
  }

  async #forFile(unwritten: Unwritten) {
    const { now } = unwritten;
    const draft = await unwritten.draft();
    this.#fileDevice ||= newId(now, this.randomBytes);
    this.#fileSeq += 1;
    const record = {
      ...draft,
      id: newId(now, this.randomBytes),
      device: this.#fileDevice,
      seq: this.#fileSeq,
      madeAt: utcInstant(now),
    } as TallyRecord;
    const inFile = { draft, record };
    this.#inFiles.set(unwritten, inFile);
    return inFile;
  }

  /** Takes those off the queue that stand in a file, once the observer says that it is saved. */
  clearFiled(): void {
    const filed = this.#filed.map((one) => one.unwritten);
    this.#queue = this.#queue.filter((one) => !filed.includes(one));
    this.#waiting = this.#queue;
    this.#filed = [];
    if (!this.#queue.length) this.#failure = undefined;
    void this.retry();
  }

  /**
   * The file was not saved after all: its records go to the storage again. They keep the ids that the file gave them: should
   * it turn up later, no runner counts twice.
   */
  forgetFile(): void {
    this.#filed = [];
    void this.retry();
  }

  /** Tries to write all that wait. */
  async retry(): Promise<void> {
    // A file that may be handed in holds them: writing them too would count the runners twice.
    if (this.#busy || this.#filed.length) return;
    this.#busy = true;
    try {
      for (let first = this.#queue[0]; first; first = this.#queue[0]) {
        const outcome = await this.#writeOne(first);
        if (!outcome.ok) {
          this.#failure = outcome.error;
          this.#waiting = this.#queue;
          this.onFailed();
          return;
        }
        this.#failure = undefined;
        this.#queue = this.#queue.filter((one) => one !== first);
        if (this.#waiting.length) this.#waiting = [];
        this.onKept(outcome.value);
      }
    } finally {
      this.#busy = false;
    }
  }

  async #writeOne(unwritten: Unwritten) {
    try {
      const inFile = this.#inFiles.get(unwritten);
      const draft = inFile?.draft ?? (await unwritten.draft());
      const { now } = unwritten;
      return await addAndCount(this.db, draft, { now, randomBytes: this.randomBytes, id: inFile?.record.id });
    } catch (error) {
      return { ok: false as const, error: storeFailure(error) };
    }
  }
}
