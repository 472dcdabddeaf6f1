import { newId } from '../../records/new-id.ts';
import type { Race } from '../../race/race.ts';
import type { KerbsideDatabase, StoredRace } from '../../store/database.ts';
import { findRace, saveRace } from '../../store/race/races.ts';
import { checkpointsWithRecords } from '../../store/records/checkpoints-with-records.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { draftOf, questionsOfDraft, raceOfDraft, type SetUpDraft, type SetUpFaults } from './set-up-draft.ts';

const clockTime = (ms: number) => new Intl.DateTimeFormat('en-GB', { timeStyle: 'medium' }).format(ms);

/** Whether two set-ups are the same but for the hub's count of revisions. */
function sameSetUp(a: Race, b: Race): boolean {
  return JSON.stringify({ ...a, revision: 0 }) === JSON.stringify({ ...b, revision: 0 });
}

/** The set-up of one race under edit: every field that is left is kept at once, or says why it is not. */
export class SetUp {
  draft = $state<SetUpDraft>();
  #faults = $state.raw<SetUpFaults>({});
  #said = $state('');
  #problem = $state('');
  #missing = $state(false);
  #demo = $state(false);
  #withRecords = $state.raw<readonly string[]>([]);
  #before: Race | undefined;
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  get faults() {
    return this.#faults;
  }
  /** What is kept and may be meant otherwise, by the field's name as in `faults`. */
  get questions() {
    return this.draft ? questionsOfDraft(this.draft) : {};
  }
  /** *Saved at …* after each edit that was kept. */
  get said() {
    return this.#said;
  }
  get problem() {
    return this.#problem;
  }
  /** Whether the race is not on this device. */
  get missing() {
    return this.#missing;
  }
  get demo() {
    return this.#demo;
  }
  /** Ids of checkpoints that records name: these can be renamed, not removed. */
  get withRecords() {
    return this.#withRecords;
  }

  async read(): Promise<void> {
    const stored = await findRace(this.#db, this.#raceId);
    this.#missing = !stored;
    if (stored) await this.#show(stored);
  }

  async #show({ race, demo = false }: StoredRace): Promise<void> {
    this.#before = race;
    this.#demo = demo;
    this.draft = draftOf(race);
    this.#faults = {};
    this.#withRecords = await checkpointsWithRecords(this.#db, this.#raceId);
  }

  /**
   * After the set-up was changed: by this form itself, in another tab or by another lead. What came is shown at once, unless
   * something typed here would be lost by that: then the person chooses.
   */
  async hear(): Promise<void> {
    const stored = await findRace(this.#db, this.#raceId);
    // While this form saves, the news is most likely its own; what else there may be is looked for when it is done.
    if (!stored || !this.#before || !this.draft || this.#saves > 0) return;
    if (sameSetUp(stored.race, this.#before)) return;
    if (JSON.stringify($state.snapshot(this.draft)) === JSON.stringify(draftOf(this.#before))) await this.#show(stored);
    else this.#changedElsewhere = true;
  }

  /** Whether another change came while something here was not kept yet. Nothing is saved before the person has chosen. */
  get changedElsewhere() {
    return this.#changedElsewhere;
  }

  async takeTheirs(): Promise<void> {
    this.#changedElsewhere = false;
    await this.read();
  }

  async keepMine(): Promise<void> {
    this.#changedElsewhere = false;
    this.#before = (await findRace(this.#db, this.#raceId))?.race ?? this.#before;
    await this.save();
  }

  #changedElsewhere = $state(false);
  /** Saves that are under way or wait for their turn. */
  #saves = 0;
  #lastSave: Promise<void> = Promise.resolve();

  /** Keeps the draft if nothing is wrong with it, one edit after the other, however fast they come. */
  async save(): Promise<void> {
    this.#saves += 1;
    this.#lastSave = this.#lastSave.then(() => this.#keep());
    await this.#lastSave;
    this.#saves -= 1;
    if (this.#saves === 0) await this.hear();
  }

  async #keep(): Promise<void> {
    if (!this.draft || !this.#before || this.#changedElsewhere) return;
    const outcome = raceOfDraft(this.draft, this.#before);
    if ('faults' in outcome) {
      this.#faults = outcome.faults;
      this.#said = '';
      return;
    }
    this.#faults = {};
    this.#problem = '';
    try {
      await saveRace(this.#db, outcome.race, browserSurroundings.now());
      this.#before = (await findRace(this.#db, this.#raceId))?.race ?? outcome.race;
      this.#said = `Saved at ${clockTime(browserSurroundings.now())}.`;
    } catch (error) {
      this.#problem = `Not saved. ${storeFailureWords(storeFailure(error))}`;
    }
  }

  async chooseRule(rule: SetUpDraft['rule']): Promise<void> {
    if (!this.draft) return;
    this.draft.rule = rule;
    await this.save();
  }

  /** After what is being kept. */
  async addCheckpoint(): Promise<void> {
    await this.#lastSave;
    const id = newId(browserSurroundings.now(), browserSurroundings.randomBytes);
    this.draft?.checkpoints.push({ id, name: '', km: '' });
  }

  async removeCheckpoint(id: string): Promise<void> {
    if (!this.draft || this.#withRecords.includes(id)) return;
    this.draft.checkpoints = this.draft.checkpoints.filter((row) => row.id !== id);
    this.draft.observers = this.draft.observers.filter((row) => row.checkpoint !== id);
    await this.save();
  }

  async addObserver(): Promise<void> {
    await this.#lastSave;
    const checkpoint = this.draft?.checkpoints.length === 1 ? this.draft.checkpoints[0]!.id : '';
    this.draft?.observers.push({ code: '', checkpoint, side: '' });
  }

  async removeObserver(index: number): Promise<void> {
    this.draft?.observers.splice(index, 1);
    await this.save();
  }
}
