import type { Race } from '../../../race/race.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { counted } from '../../../words/numbers.ts';
import { readRaceKey } from './race-key.ts';
import type { ClipItem } from '../../../practice/practice-session.ts';
import { readClipKey } from '../../../tables/practice/practice-writing.ts';
import { clipsByItem, leftOutWords, NO_CLIPS, withoutEnding, type ClipFiles } from './clip-files.ts';
import { tableFaultWords } from '../../../tables/csv/table-fault.ts';

/** A clip set as its files make it: a video for each runner, and the key. */
export class ClipSet {
  #videos = $state.raw<ClipFiles>(NO_CLIPS);
  #clips = $state.raw<readonly ClipItem[]>([]);
  #faults = $state.raw<readonly string[]>([]);
  #keyName = $state('');
  #said = $state('');

  constructor(private readonly db: KerbsideDatabase) {}

  /** Items that have a video and a class for a foot at least. */
  get ready(): readonly ClipItem[] {
    return this.#clips.filter(
      ({ item, keyLeft, keyRight }) => this.#videos.has(item) && (keyLeft !== null || keyRight !== null),
    );
  }
  /** What is wrong with the key, a line for each fault. */
  get faults() {
    return this.#faults;
  }
  /** What the files leave out, in words; empty when they fit. */
  get leftOut(): string {
    return leftOutWords(this.#videos, this.#clips);
  }
  /** The set's name: that of the key's file. */
  get name() {
    return this.#keyName;
  }

  /** What came of the race's reviews, for a status line. */
  get said() {
    return this.#said;
  }

  /** Takes the key from what was agreed on a race's clips at a checkpoint; clips are named by the bib. */
  async takeRace(race: Race, checkpoint: Race['checkpoints'][number]): Promise<void> {
    this.#faults = [];
    try {
      this.#clips = await readRaceKey(this.db, race, checkpoint.id);
    } catch (error) {
      this.#faults = [`The reviews were not read. ${storeFailureWords(storeFailure(error))}`];
      return;
    }
    this.#keyName = `${race.name}, ${checkpoint.name}`;
    this.#said =
      this.#clips.length === 0
        ? 'No foot there was reviewed by two who agree, and none was ruled.'
        : `${counted(this.#clips.length, 'runner')} in the key. Name each clip by the bib.`;
  }

  takeVideos(files: Iterable<File>): void {
    this.#videos = clipsByItem(files);
  }

  async takeKey(file: File): Promise<void> {
    this.#said = '';
    const read = readClipKey(new Uint8Array(await file.arrayBuffer()));
    this.#keyName = withoutEnding(file.name);
    this.#clips = read.ok ? read.value : [];
    this.#faults = read.ok ? [] : read.error.faults.map(tableFaultWords);
  }

  video(item: string): File | undefined {
    return this.#videos.get(item);
  }
}
