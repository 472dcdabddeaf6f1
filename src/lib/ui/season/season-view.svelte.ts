import type { CheckpointChoice } from '../../race/early-and-late.ts';
import type { SingleFootRule } from '../../sightings/runner-classes.ts';
import type { KerbsideDatabase, StoredRace } from '../../store/database.ts';
import { listRaces } from '../../store/race/races.ts';
import {
  keepSeasonChoices,
  keepSeasonRace,
  keptSeasonChoices,
  loadSeasonRaces,
  type SeasonRaceChoice,
} from '../../store/season-choices.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { choicesOfKept } from '../findings/choices/findings-choices.ts';
import { SeasonClient } from './season-client.ts';
import { seasonNames } from './season-names.ts';
import type { SeasonReply, SeasonResult, SeasonSource } from './season-messages.ts';
import { SeasonParts } from './season-parts.svelte.ts';

/** What holds for all races. */
interface SeasonChoices {
  readonly level: number;
  readonly singleFoot: SingleFootRule;
}

interface Progress {
  readonly done: number;
  readonly total: number;
  readonly name: string;
}

/** The races of a season as a screen shows them: what is on this device, what was dropped in, and what they say together. */
export class SeasonView {
  readonly #db: KerbsideDatabase;
  #races = $state.raw<readonly StoredRace[] | null>(null);
  /** By race id, where something was chosen: now or on an earlier visit. */
  #raceChoices = $state.raw<Readonly<Record<string, SeasonRaceChoice>>>({});
  #files = $state.raw<readonly File[]>([]);
  #result = $state.raw<SeasonResult | null>(null);
  #choices = $state.raw<SeasonChoices>({ level: 0.95, singleFoot: 'exclude' });
  #progress = $state.raw<Progress | null>(null);
  #busy = $state(false);
  #stopped = $state(false);
  #problem = $state('');
  #said = $state('');
  #turn = 0;
  /** The long parts of the result, as far as they stand on the page. */
  readonly parts = new SeasonParts();
  readonly #client: SeasonClient;

  constructor(db: KerbsideDatabase) {
    this.#db = db;
    this.#client = new SeasonClient(
      db,
      (reply) => this.#take(reply),
      (message) => {
        this.#problem = message;
        this.#busy = false;
      },
    );
  }

  /** Races on this device, by date; `null` until they are read. */
  get races() {
    return this.#races;
  }
  get level() {
    return this.#choices.level;
  }
  get singleFoot() {
    return this.#choices.singleFoot;
  }
  get files() {
    return this.#files;
  }
  get result() {
    return this.#result;
  }
  get progress() {
    return this.#progress;
  }
  get busy() {
    return this.#busy;
  }
  get stopped() {
    return this.#stopped;
  }
  get problem() {
    return this.#problem;
  }
  /** What happened to the files dropped in last. */
  get said() {
    return this.#said;
  }

  /** Races are in; the invented one is left out unless it is the only one, or was chosen. */
  isChosen({ id, demo }: StoredRace): boolean {
    return this.#raceChoices[id]?.chosen ?? (!demo || this.#races?.length === 1);
  }

  /** Lists the races and pools them, by what was chosen last. Returns the way to end. */
  run(): () => void {
    void this.#read();
    return () => {
      this.#client.stop();
      this.parts.stop();
    };
  }

  async #read(): Promise<void> {
    try {
      const races = (await listRaces(this.#db)).sort((a, b) => (a.race.date < b.race.date ? -1 : 1));
      this.#raceChoices = await loadSeasonRaces(
        this.#db,
        races.map(({ id }) => id),
      );
      const { level = 0.95, singleFoot = 'exclude' } = choicesOfKept(await keptSeasonChoices(this.#db));
      this.#choices = { level, singleFoot };
      this.#races = races;
      this.compute();
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    }
  }

  choose(race: StoredRace, chosen: boolean): void {
    this.#chooseOf(race, { chosen });
  }

  chooseLevel(level: number): void {
    this.#chooseForAll({ level });
  }

  chooseSingleFoot(singleFoot: SingleFootRule): void {
    this.#chooseForAll({ singleFoot });
  }

  /** The two checkpoints of a race that are compared, by name. */
  placesOf({ id, race }: StoredRace): { readonly early: string; readonly late: string } {
    const byKm = race.checkpoints.toSorted((a, b) => a.km - b.km);
    const chosen = this.#chosenPlaces(id, race);
    return { early: chosen.early ?? byKm[0]?.name ?? '', late: chosen.late ?? byKm.at(-1)?.name ?? '' };
  }

  /** Compares other checkpoints of a race; one that is the other already changes places with it. */
  choosePlace(race: StoredRace, which: 'early' | 'late', name: string): void {
    const now = this.placesOf(race);
    const other = which === 'early' ? 'late' : 'early';
    const swapped = name === now[other] ? { [other]: now[which] } : {};
    this.#chooseOf(race, { ...now, ...swapped, [which]: name });
  }

  /** Places that were chosen on an earlier visit may have another name by now. */
  #chosenPlaces(id: string, race: StoredRace['race']): CheckpointChoice {
    const { early, late } = this.#raceChoices[id] ?? {};
    const all = [early, late].every((name) => race.checkpoints.some((place) => place.name === name));
    return all ? { early, late } : {};
  }

  #chooseOf({ id }: StoredRace, choice: SeasonRaceChoice): void {
    const chosen = { ...this.#raceChoices[id], ...choice };
    this.#raceChoices = { ...this.#raceChoices, [id]: chosen };
    void this.#kept(keepSeasonRace(this.#db, id, chosen));
    this.compute();
  }

  #chooseForAll(choice: Partial<SeasonChoices>): void {
    this.#choices = { ...this.#choices, ...choice };
    void this.#kept(keepSeasonChoices(this.#db, this.#choices));
    this.compute();
  }

  async #kept(keeping: Promise<void>): Promise<void> {
    try {
      await keeping;
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    }
  }

  /** Takes findings files of other devices. A file of a name that is there replaces it. */
  addFiles(files: readonly File[]): void {
    if (files.length === 0) return;
    const names = files.map(({ name }) => name);
    const kept = this.#files.filter(({ name }) => !names.includes(name));
    const replaced = this.#files.length - kept.length;
    this.#files = [...kept, ...files];
    const taken = files.length === 1 ? `${files[0]!.name} is in` : `${files.length} files are in`;
    this.#said = replaced > 0 ? `${taken}; ${replaced} of the same name replaced.` : `${taken}.`;
    this.compute();
  }

  removeFile(file: File): void {
    this.#files = this.#files.filter((other) => other !== file);
    this.#said = `${file.name} is out.`;
    this.compute();
  }

  stop(): void {
    this.#client.stop();
    this.#busy = false;
    this.#progress = null;
    this.#stopped = true;
  }

  compute(): void {
    // A choice made meanwhile ends what is computed for the one before.
    if (this.#busy) this.#client.stop();
    this.#stopped = false;
    this.#problem = '';
    const sources = this.#sources();
    if (sources.length === 0) {
      this.#result = null;
      this.parts.clear();
      this.#busy = false;
      return;
    }
    this.#busy = true;
    this.#turn += 1;
    this.#client.ask({ id: this.#turn, sources, ...this.#choices });
  }

  #sources(): SeasonSource[] {
    const races = (this.#races ?? []).filter((race) => this.isChosen(race));
    const names = seasonNames(
      races.map(({ race }) => race),
      this.#files.map(({ name }) => name),
    );
    return [
      ...races.map(({ id, race }, i): SeasonSource => ({
        kind: 'device',
        raceId: id,
        name: names[i]!,
        places: this.#chosenPlaces(id, race),
      })),
      ...this.#files.map((file, i): SeasonSource => ({ kind: 'file', name: names[races.length + i]!, file })),
    ];
  }

  #take(reply: SeasonReply): void {
    if (reply.id !== this.#turn) return;
    if (reply.kind === 'progress') {
      this.#progress = reply;
      return;
    }
    if (reply.kind === 'people') return this.parts.addPeople(reply.people);
    if (reply.kind === 'season') {
      this.#result = reply.result;
      this.parts.show(reply.result);
    } else this.#problem = reply.message;
    this.#busy = false;
    this.#progress = null;
  }
}
