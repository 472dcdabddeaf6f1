import { utcInstant } from '../../records/instant.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { keptFindingsChoices } from '../../store/race/findings-choices.ts';
import { NOTHING_KEPT, type StepId } from '../../tables/coded-export/coarsening-steps.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { choicesOfKept } from '../findings/choices/findings-choices.ts';
import type { FindingsChoices } from '../findings/worker/findings-messages.ts';
import { PictureForm } from '../findings/pictures/picture-form.svelte.ts';
import { RaceOnDevice } from '../race-on-device.svelte.ts';
import { ExportFiles } from './export-files.svelte.ts';
import { zipName } from './file-words.ts';

/** One race's export: what is chosen, and the files made of it. */
export class ExportScreen {
  readonly here: RaceOnDevice;
  readonly files: ExportFiles;
  /** Bibs replaced by codes. */
  coded = $state(true);
  step = $state<StepId>('5-minutes');
  kept = $state({ ...NOTHING_KEPT });
  /** Whether each table begins with a byte-order mark. */
  byteOrderMark = $state(false);
  readonly pictures = new PictureForm();
  /** The day by which the receiver is to delete it, or empty. */
  deleteBy = $state('');
  readonly #db: KerbsideDatabase;
  #findings: Promise<FindingsChoices> = Promise.resolve({});

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.here = new RaceOnDevice(db, raceId);
    this.files = new ExportFiles(db, raceId);
  }

  /** Reads the race, and what was chosen on Findings, until the function that comes back is called. */
  start(): () => void {
    void this.here.read();
    this.#findings = keptFindingsChoices(this.#db, this.here.raceId).then(choicesOfKept, () => ({}));
    return () => this.files.stop();
  }

  async make(): Promise<void> {
    const { coded, step, deleteBy, byteOrderMark } = this;
    const choices = {
      coded,
      step,
      kept: $state.snapshot(this.kept),
      findings: await this.#findings,
      deleteBy,
      byteOrderMark,
    };
    await this.files.make(choices, this.pictures.choice, utcInstant(browserSurroundings.now()));
  }

  /** Takes another step and makes the files anew. */
  async takeStep(step: StepId): Promise<void> {
    this.step = step;
    await this.make();
  }

  async saveAll(): Promise<void> {
    if (this.here.race) await this.files.saveAll(zipName(this.here.race));
  }
}
