import type { KerbsideDatabase } from '../../store/database.ts';
import type { PictureFormChoice } from '../findings/pictures/picture-form.svelte.ts';
import { findingsPictureFiles } from '../findings/pictures/picture-files.ts';
import { exportTables, packFiles, startExportWorker } from './export-client.ts';
import type { AnonymityOfSteps, ExportChoices, ExportedFile } from './export-messages.ts';
import { saveBlob } from '../save-blob.ts';
import { openDoor } from '../store-door/open-door.ts';

/** The files of an export: made off the page, then saved singly or together. */
export class ExportFiles {
  #files = $state.raw<readonly ExportedFile[] | null>(null);
  #said = $state.raw<readonly string[]>([]);
  #busy = $state('');
  #problem = $state('');
  #worker: Worker | undefined;
  #anonymity = $state.raw<AnonymityOfSteps | null>(null);
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  #endWorker = () => {};

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  /** What can be saved; `null` until it is made. */
  get files() {
    return this.#files;
  }
  get said() {
    return this.#said;
  }
  /** How far the rows still single runners out, at the chosen step and at the others. */
  get anonymity() {
    return this.#anonymity;
  }
  /** What is being done, in words; empty when nothing is. */
  get busy() {
    return this.#busy;
  }
  get problem() {
    return this.#problem;
  }

  /** Makes all tables, and the pictures when no code stands in the way of their bibs (pictures name no runner). */
  async make(choices: ExportChoices, pictures: PictureFormChoice, created: string): Promise<void> {
    this.stop();
    this.forget();
    this.#busy = 'Beginning …';
    const worker = this.#start();
    try {
      const tables = await exportTables(worker, { raceId: this.#raceId, choices, created }, (words) => {
        this.#busy = words;
      });
      const files = [...tables.files];
      if (tables.findings) {
        this.#busy = 'Drawing the pictures …';
        // From the exported tables, not from the race: a picture must not tell what the tables hide.
        for (const { name, blob } of await findingsPictureFiles(tables.findings, pictures)) {
          if (worker !== this.#worker) return;
          files.push({ name: `pictures/${name}`, about: 'picture of Findings', blob });
        }
      }
      this.#anonymity = tables.anonymity;
      this.#files = files;
      this.#said = tables.said;
    } catch (error) {
      this.#problem = `The export failed: ${error instanceof Error ? error.message : String(error)}`;
    } finally {
      this.#busy = '';
      this.#end();
    }
  }

  /** Lets go of what was made: under other choices nothing of it may be saved, least of all names under a promise of codes. */
  forget(): void {
    this.#files = null;
    this.#said = [];
    this.#anonymity = null;
    this.#problem = '';
  }

  /** Ends the work at once; nothing is saved. */
  stop(): void {
    this.#end();
    this.#busy = '';
  }

  save(file: ExportedFile): void {
    saveBlob(file.blob, file.name.replace('pictures/', ''));
  }

  /** Saves all but what must stay apart as one zip file. */
  async saveAll(name: string): Promise<void> {
    if (!this.#files) return;
    this.#busy = 'Packing …';
    const worker = this.#start();
    try {
      const together = this.#files.filter((file) => !file.apart);
      saveBlob(await packFiles(worker, together), name);
    } catch (error) {
      this.#problem = `The files could not be packed: ${(error as Error).message}. Save them one by one.`;
    } finally {
      this.stop();
    }
  }

  #start(): Worker {
    const worker = startExportWorker();
    this.#worker = worker;
    this.#endWorker = openDoor(this.#db, worker);
    return worker;
  }

  #end(): void {
    this.#endWorker();
    this.#worker = undefined;
  }
}
