import { sameSetUp, standingRace } from '../../race/canonical-race.ts';
import type { Race } from '../../race/race.ts';
import type { TallyRecord } from '../../records/record.ts';
import { conflictingRecords } from '../../store/conflicting-records.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { changeHubLink, findHubLink } from '../../store/hub-links.ts';
import { takeSetUp } from '../../store/hub-set-up.ts';
import { findRace } from '../../store/races.ts';
import { addPulledRecords } from '../../store/pulled-records.ts';
import { markSavedToFile, recordCounts } from '../../store/record-counters.ts';
import { allRecords } from '../../store/records.ts';
import { storeFailure, storeFailureText } from '../../store/store-failure.ts';
import { HANDOFF_EXTENSION, readHandoffFiles, writeHandoff, type HandoffFault } from '../../tables/handoff-file.ts';
import { browserSurroundings } from '../browser-surroundings.ts';

/** What came of reading files. */
export interface FilesRead {
  readonly files: number;
  readonly race: Race;
  readonly records: number;
  readonly added: number;
  /** Ids that are here with other content: what was here stays. */
  readonly conflicts: readonly string[];
  /** A set-up in the files that is newer than the one here, for a person to take or leave. */
  readonly newerSetUp: Race | null;
}

export interface SavedFile {
  readonly name: string;
  readonly records: number;
}

const ADDED_AT_ONCE = 5_000;
const FAULTS_SHOWN = 20;

/** Saving and reading hand-off files on this device. */
export class HandOffFiles {
  #busy = $state<'saving' | 'reading' | null>(null);
  #progress = $state(0);
  #saved = $state.raw<SavedFile | null>(null);
  #read = $state.raw<FilesRead | null>(null);
  #faults = $state.raw<readonly HandoffFault[]>([]);
  #problem = $state('');
  readonly #db: KerbsideDatabase;
  readonly #onBrought: () => void;

  /** @param onBrought called when records came that the hub may not have */
  constructor(db: KerbsideDatabase, onBrought: () => void) {
    this.#db = db;
    this.#onBrought = onBrought;
  }

  get busy() {
    return this.#busy;
  }
  /** 0 to 1, while reading. */
  get progress() {
    return this.#progress;
  }
  get saved() {
    return this.#saved;
  }
  get read() {
    return this.#read;
  }
  get faults() {
    return this.#faults.slice(0, FAULTS_SHOWN);
  }
  get furtherFaults() {
    return Math.max(0, this.#faults.length - FAULTS_SHOWN);
  }
  get problem() {
    return this.#problem;
  }

  /** Writes every record of the race on this device to a file and hands it to the browser's downloads. */
  async save(raceId: string, download: (blob: Blob, name: string) => void): Promise<void> {
    await this.#work('saving', async () => {
      const stored = await findRace(this.#db, raceId);
      if (!stored) return;
      // Counted first: what is tallied while the file is written is not in it.
      const { lastSeq } = await recordCounts(this.#db, raceId);
      const records = await allRecords(this.#db, raceId);
      const name = fileName(stored.race, browserSurroundings.now());
      download(new Blob([...writeHandoff(stored.race, records)], { type: 'application/x-ndjson' }), name);
      await markSavedToFile(this.#db, raceId, lastSeq);
      this.#saved = { name, records: records.length };
    });
  }

  /** Reads any number of hand-off files of one race; nothing is kept of any when one has a fault. */
  async readFiles(files: readonly File[], expectedRace?: string): Promise<void> {
    await this.#work('reading', async () => {
      this.#read = null;
      this.#faults = [];
      const total = files.reduce((sum, file) => sum + file.size, 1);
      let bytes = 0;
      const content = await readHandoffFiles(
        files.map((file) => ({ name: file.name, chunks: chunksOf(file) })),
        (count) => {
          bytes += count;
          this.#progress = bytes / total / 2;
        },
      );
      if (!content.ok) {
        this.#faults = content.error.faults;
        return;
      }
      const { race, records } = content.value;
      if (expectedRace !== undefined && race.id !== expectedRace) {
        this.#problem = `These files hold another race: ${race.name}, ${race.date}. Read them on the page “Join a race”.`;
        return;
      }
      await this.#keep(files.length, race, records);
    });
  }

  /** Takes the newer set-up that the files brought. */
  async takeNewerSetUp(): Promise<void> {
    const { read } = this;
    if (!read?.newerSetUp) return;
    await takeSetUp(this.#db, read.newerSetUp, browserSurroundings.now());
    this.#read = { ...read, newerSetUp: null };
  }

  async #keep(files: number, race: Race, records: readonly TallyRecord[]): Promise<void> {
    const before = await findRace(this.#db, race.id);
    if (!before) await takeSetUp(this.#db, race, browserSurroundings.now());
    const conflicts = before ? await conflictingRecords(this.#db, race.id, records) : [];
    let added = 0;
    for (let from = 0; from < records.length; from += ADDED_AT_ONCE) {
      const { now, randomBytes } = browserSurroundings;
      const part = records.slice(from, from + ADDED_AT_ONCE);
      const kept = await addPulledRecords(this.#db, race.id, part, { now: now(), randomBytes });
      if (!kept.ok) {
        this.#problem = storeFailureText(kept.error);
        break;
      }
      added += kept.value.added;
      this.#progress = 0.5 + from / records.length / 2;
    }
    const newer = before && standingRace(before.race, race) === race && !sameSetUp(before.race, race);
    const link = await findHubLink(this.#db, race.id);
    if (added > 0 && link && link.role !== 'observer') {
      await changeHubLink(this.#db, race.id, { bringPulled: true });
      this.#onBrought();
    }
    this.#read = {
      files,
      race,
      records: records.length,
      added,
      conflicts,
      // At a hub its set-up counts.
      newerSetUp: newer && !link ? race : null,
    };
  }

  async #work(what: 'saving' | 'reading', work: () => Promise<void>): Promise<void> {
    if (this.#busy) return;
    this.#busy = what;
    this.#problem = '';
    this.#progress = 0;
    try {
      await work();
    } catch (error) {
      this.#problem = storeFailureText(storeFailure(error));
    } finally {
      this.#busy = null;
    }
  }
}

/** A name that sorts by race and time, such as `alder-ten-2026-10-04-0731.ndjson`. */
function fileName(race: Race, ms: number): string {
  const plain = race.name
    .normalize('NFKD')
    .replace(/[^\p{Letter}\p{Number}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();
  const time = new Date(ms).toTimeString().slice(0, 5).replace(':', '');
  return `${plain || 'race'}-${race.date}-${time}${HANDOFF_EXTENSION}`;
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
