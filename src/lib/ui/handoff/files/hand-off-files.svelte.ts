import type { KerbsideDatabase } from '../../../store/database.ts';
import { markSavedToFile, ownDevice } from '../../../store/records/record-counters.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { HANDOFF_EXTENSION } from '../../../tables/handoff-file.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';
import { deviceHandoff, type DeviceHandoff } from './device-handoff.ts';
import { handoffName } from './handoff-name.ts';
import { HandoffIntake } from './handoff-intake.svelte.ts';

export interface SavedFile {
  readonly name: string;
  readonly records: number;
  /** Sent with another app, and not among the downloads. */
  readonly shared: boolean;
}

/** Files of other types than text are not shared by browsers. */
const SHARED = { extension: '.txt', type: 'text/plain' } as const;

/** Saving, sharing and reading hand-off files on this device. */
export class HandOffFiles {
  #busy = $state<'saving' | 'reading' | null>(null);
  #saved = $state.raw<SavedFile | null>(null);
  #problem = $state('');
  /** How many files were read last. */
  #files = $state(0);
  readonly intake: HandoffIntake;
  readonly #db: KerbsideDatabase;

  /** @param onBrought called when records came that the hub may not have */
  constructor(db: KerbsideDatabase, onBrought: () => void) {
    this.#db = db;
    this.intake = new HandoffIntake(db, onBrought);
  }

  get busy() {
    return this.#busy;
  }
  get saved() {
    return this.#saved;
  }
  get files() {
    return this.#files;
  }
  get problem() {
    return this.#problem;
  }
  /** Whether this browser hands files to other apps. */
  get canShare(): boolean {
    const { canShare } = navigator as Partial<Navigator>;
    const file = new File([''], `a${SHARED.extension}`, { type: SHARED.type });
    return canShare?.call(navigator, { files: [file] }) ?? false;
  }

  /** Writes every record of the race on this device to a file and hands it to the browser's downloads. */
  async save(raceId: string, download: (blob: Blob, name: string) => void): Promise<void> {
    await this.#handOff(raceId, ({ file }, name) => {
      download(new Blob(file, { type: 'application/x-ndjson' }), name + HANDOFF_EXTENSION);
      return name + HANDOFF_EXTENSION;
    });
  }

  /** Lets a person send the same file with another app. */
  async share(raceId: string): Promise<void> {
    await this.#handOff(raceId, async ({ file }, plainName) => {
      const name = plainName + SHARED.extension;
      try {
        await navigator.share({ files: [new File(file, name, { type: SHARED.type })] });
      } catch (error) {
        if ((error as Error).name !== 'AbortError')
          this.#problem = 'This device did not share it. Save a file instead.';
        return null;
      }
      return name;
    });
  }

  /** @param give gives the file away and says its name, or `null` when it was not given */
  async #handOff(
    raceId: string,
    give: (handoff: DeviceHandoff, plainName: string) => string | null | Promise<string | null>,
  ): Promise<void> {
    await this.#work('saving', async () => {
      const handoff = await deviceHandoff(this.#db, raceId);
      if (!handoff) return;
      const { randomBytes } = browserSurroundings;
      const now = browserSurroundings.now();
      const device = await ownDevice(this.#db, raceId, { now, randomBytes });
      const name = await give(handoff, handoffName(handoff.race, handoff.records, device, now));
      if (name === null) return;
      await markSavedToFile(this.#db, raceId, handoff.lastSeq);
      this.#saved = { name, records: handoff.records.length, shared: name.endsWith(SHARED.extension) };
    });
  }

  /** Reads any number of hand-off files of one race; nothing is kept of any when one has a fault. */
  async readFiles(files: readonly File[], expectedRace?: string): Promise<void> {
    await this.#work('reading', async () => {
      const sources = files.map((file) => ({ name: file.name, chunks: chunksOf(file) }));
      const bytes = files.reduce((sum, file) => sum + file.size, 0);
      const content = await this.intake.look(sources, bytes, 'These files', expectedRace);
      if (!content) return;
      this.#files = files.length;
      await this.intake.keep(content);
    });
  }

  async #work(what: 'saving' | 'reading', work: () => Promise<void>): Promise<void> {
    if (this.#busy) return;
    this.#busy = what;
    this.#problem = '';
    try {
      await work();
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    } finally {
      this.#busy = null;
    }
  }
}

/** A file's bytes piece by piece; browsers that cannot loop over a stream have its reader. */
async function* chunksOf(file: File): AsyncGenerator<Uint8Array> {
  const reader = file.stream().getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    yield value;
  }
}
