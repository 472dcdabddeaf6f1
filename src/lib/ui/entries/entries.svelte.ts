import type { Checkpoint, Race } from '../../race/race.ts';
import { checkpointsByKm } from '../../race/station.ts';
import { timeOfDay } from '../../race/time-of-day.ts';
import { projectRecords, type ProjectedSighting } from '../../records/projection.ts';
import type { TallyRecord } from '../../records/record.ts';
import { addRecord, type RecordDraft } from '../../store/records/add-record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { findHubLink } from '../../store/hub/hub-links.ts';
import { loadLeadCode, saveLeadCode } from '../../store/race/lead-code.ts';
import { findRace } from '../../store/race/races.ts';
import { ownDevice, type Moment } from '../../store/records/record-counters.ts';
import { hearOfRecords } from '../../store/records/record-news.ts';
import { GrowingRecords } from '../../store/records/growing-records.ts';
import { newestRecords } from '../../store/records/records.ts';
import { storeFailureWords } from '../../store/store-failure.ts';
import { loadTallyPost } from '../../store/race/tally-settings.ts';
import { correctedFields, type CorrectionAction, type CorrectionDraft } from '../../tally/correction-draft.ts';
import { correctionStep, openCorrection } from '../../tally/correction-draft.ts';
import { bibInWords } from '../foot-words.ts';
import { searchEntries } from './entry-search.ts';

export interface EntriesNeeds {
  readonly db: KerbsideDatabase;
  readonly raceId: string;
  readonly moment: () => Moment;
}

/** A sighting as the list holds it; a race may have a hundred thousand. */
export interface Entry extends ProjectedSighting {
  readonly key: string;
}

/** Records come in bursts: read anew is when nothing has come for this long. */
const QUIET_MS = 300;

/** Every sighting on this device: found by bib or time, corrected, withdrawn and restored. */
export class Entries {
  #race = $state.raw<Race | undefined>();
  #sightings = $state.raw<readonly Entry[]>([]);
  #status = $state<'reading' | 'ready' | 'unknown'>('reading');
  #draft = $state.raw<CorrectionDraft | undefined>();
  #code = $state<string | undefined>();
  #mirrored = $state(false);
  #message = $state('');
  text = $state('');
  withdrawn = $state(false);
  passed = $state(false);
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #records: GrowingRecords;
  #reading = $state.raw<{ readonly done: number; readonly of: number } | undefined>();
  /** One reading after the other. */
  #turn: Promise<void> = Promise.resolve();

  readonly timeOf = $derived(timeOfDay({ timeZone: this.#race?.timeZone }));
  readonly found = $derived(searchEntries(this.#sightings, this, this.timeOf));
  readonly open = $derived(this.#sightings.find(({ record }) => record.id === this.#draft?.target));

  constructor(private readonly needs: EntriesNeeds) {
    this.#records = new GrowingRecords(needs.db, needs.raceId);
  }

  get race() {
    return this.#race;
  }
  get status() {
    return this.#status;
  }
  get draft() {
    return this.#draft;
  }
  /** In whose name corrections are written; to be asked while there is none. */
  get code() {
    return this.#code;
  }
  /** Whether the grid's left column is the right foot, as it is on this device's Tally. */
  get mirrored() {
    return this.#mirrored;
  }
  get message() {
    return this.#message;
  }
  get total() {
    return this.#sightings.length;
  }
  /** How far the first reading is, in records; nothing once everything is listed. Until then only the newest are. */
  get reading() {
    return this.#reading;
  }
  get checkpoints(): readonly Checkpoint[] {
    return checkpointsByKm(this.#race?.checkpoints ?? []);
  }

  /** Reads what the device holds, and again when records come, until the returned function is called. */
  start(): () => void {
    void this.#read();
    const end = hearOfRecords(this.needs.raceId, () => {
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => void this.#read(), QUIET_MS);
    });
    return () => {
      clearTimeout(this.#timer);
      end();
    };
  }

  #read(): Promise<void> {
    const readOnce = () => this.#readOnce();
    this.#turn = this.#turn.then(readOnce, readOnce);
    return this.#turn;
  }

  async #readOnce(): Promise<void> {
    const { db, raceId } = this.needs;
    const [stored, post, link, lead] = await Promise.all([
      findRace(db, raceId),
      loadTallyPost(db, raceId),
      findHubLink(db, raceId),
      loadLeadCode(db, raceId),
    ]);
    this.#race = stored?.race;
    this.#mirrored = post?.towards ?? false;
    const own = link?.role === 'observer' ? await ownDevice(db, raceId, this.needs.moment()) : undefined;
    this.#code ??= (own === undefined ? lead : null) ?? post?.observer;
    if (this.#status === 'reading' && stored) await this.#showNewest(own);
    this.#status = stored ? 'ready' : 'unknown';
    const records = await this.#records.read((done) => {
      if (this.#reading) this.#reading = { ...this.#reading, done };
    });
    this.#sightings = entriesOf(records, own);
    this.#reading = undefined;
  }

  /** A hundred thousand records take seconds to read: how many there are and the newest are there at once. */
  async #showNewest(own: string | undefined): Promise<void> {
    const { db, raceId } = this.needs;
    const [of, newest] = await Promise.all([this.#records.count(), newestRecords(db, raceId)]);
    this.#reading = { done: 0, of };
    this.#sightings = entriesOf(newest, own);
  }

  async setCode(code: string): Promise<void> {
    const trimmed = code.trim();
    await saveLeadCode(this.needs.db, this.needs.raceId, trimmed);
    this.#code = trimmed;
  }

  choose(sighting: ProjectedSighting): void {
    this.#draft = openCorrection(sighting.record.id, sighting);
    this.#message = '';
  }

  close(): void {
    this.#draft = undefined;
  }

  change(action: CorrectionAction): void {
    if (this.#draft) this.#draft = correctionStep(this.#draft, action);
  }

  /** Writes what was changed; closes when it is kept. */
  async save(): Promise<void> {
    const draft = this.#draft;
    const fields = draft && correctedFields(draft);
    if (!draft || !fields) return this.close();
    await this.#write(`Corrected: ${bibInWords(draft.after.bib)}.`, [
      (own) => ({ ...own, kind: 'correction', target: draft.target, ...fields }),
    ]);
  }

  async withdraw(): Promise<void> {
    const { open } = this;
    if (!open) return;
    await this.#write(`Withdrawn: ${bibInWords(open.bib)}.`, [
      (own) => ({ ...own, kind: 'withdrawal', target: open.record.id }),
    ]);
  }

  /** Withdraws the withdrawals: the entry stands again. */
  async restore(): Promise<void> {
    const { open } = this;
    if (!open) return;
    await this.#write(
      `Restored: ${bibInWords(open.bib)}.`,
      open.withdrawals.map((target) => (own) => ({ ...own, kind: 'withdrawal', target })),
    );
  }

  async #write(
    done: string,
    drafts: readonly ((own: { race: string; observer: string }) => RecordDraft)[],
  ): Promise<void> {
    const { db, raceId: race, moment } = this.needs;
    const observer = this.#code;
    if (observer === undefined) return;
    for (const draft of drafts) {
      const kept = await addRecord(db, draft({ race, observer }), moment());
      if (!kept.ok) {
        this.#message = `Not kept. ${storeFailureWords(kept.error)}`;
        return;
      }
    }
    this.#message = done;
    this.#draft = undefined;
    await this.#read();
  }
}

/** Newest first. An observer corrects what this device tallied, `own`, and nothing else. */
function entriesOf(records: readonly TallyRecord[], own: string | undefined): Entry[] {
  return projectRecords(records)
    .sightings.filter(({ record }) => own === undefined || record.device === own)
    .map((sighting) => ({ ...sighting, key: sighting.record.id }))
    .sort((a, b) => (a.record.observedAt < b.record.observedAt ? 1 : -1));
}
