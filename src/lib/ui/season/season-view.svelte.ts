import type { CheckpointChoice } from '../../findings/early-and-late.ts';
import type { KerbsideDatabase, StoredRace } from '../../store/database.ts';
import { listRaces } from '../../store/races.ts';
import { storeFailure, storeFailureText } from '../../store/store-failure.ts';
import { SeasonClient } from './season-client.ts';
import { seasonNames } from './season-names.ts';
import type { SeasonReply, SeasonResult, SeasonSource } from './season-messages.ts';

/** Levels of intervals to choose from. */
export const LEVELS = [0.9, 0.95, 0.99] as const;

interface Progress {
  readonly done: number;
  readonly total: number;
  readonly name: string;
}

/** The races of a season as a screen shows them: what is on this device, what was dropped in, and what they say together. */
export class SeasonView {
  readonly #db: KerbsideDatabase;
  #races = $state.raw<readonly StoredRace[] | null>(null);
  /** Ids of races that are left out. */
  #left = $state.raw<readonly string[]>([]);
  #files = $state.raw<readonly File[]>([]);
  #result = $state.raw<SeasonResult | null>(null);
  #level = $state<number>(0.95);
  /** By race id, where others than the first and the last checkpoint were chosen. */
  #places = $state.raw<Readonly<Record<string, CheckpointChoice>>>({});
  #progress = $state.raw<Progress | null>(null);
  #busy = $state(false);
  #stopped = $state(false);
  #problem = $state('');
  #said = $state('');
  #turn = 0;
  readonly #client = new SeasonClient(
    (reply) => this.#take(reply),
    (message) => {
      this.#problem = message;
      this.#busy = false;
    },
  );

  constructor(db: KerbsideDatabase) {
    this.#db = db;
  }

  /** Races on this device, by date; `null` until they are read. */
  get races() {
    return this.#races;
  }
  get level() {
    return this.#level;
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

  isChosen(race: StoredRace): boolean {
    return !this.#left.includes(race.id);
  }

  /** Lists the races and pools them; the invented one is left out unless it is the only one. Returns the way to end. */
  run(): () => void {
    void this.#read();
    return () => this.#client.stop();
  }

  async #read(): Promise<void> {
    try {
      const races = (await listRaces(this.#db)).sort((a, b) => (a.race.date < b.race.date ? -1 : 1));
      if (races.length > 1) this.#left = races.flatMap(({ id, demo }) => (demo ? [id] : []));
      this.#races = races;
      this.compute();
    } catch (error) {
      this.#problem = storeFailureText(storeFailure(error));
    }
  }

  choose(race: StoredRace, chosen: boolean): void {
    const others = this.#left.filter((id) => id !== race.id);
    this.#left = chosen ? others : [...others, race.id];
    this.compute();
  }

  chooseLevel(level: number): void {
    this.#level = level;
    this.compute();
  }

  /** The two checkpoints of a race that are compared, by name. */
  placesOf({ id, race }: StoredRace): { readonly early: string; readonly late: string } {
    const byKm = race.checkpoints.toSorted((a, b) => a.km - b.km);
    const chosen = this.#places[id];
    return { early: chosen?.early ?? byKm[0]?.name ?? '', late: chosen?.late ?? byKm.at(-1)?.name ?? '' };
  }

  /** Compares other checkpoints of a race; one that is the other already changes places with it. */
  choosePlace(race: StoredRace, which: 'early' | 'late', name: string): void {
    const now = this.placesOf(race);
    const other = which === 'early' ? 'late' : 'early';
    const swapped = name === now[other] ? { [other]: now[which] } : {};
    this.#places = { ...this.#places, [race.id]: { ...now, ...swapped, [which]: name } };
    this.compute();
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
      this.#busy = false;
      return;
    }
    this.#busy = true;
    this.#turn += 1;
    this.#client.ask({ id: this.#turn, sources, level: this.#level });
  }

  #sources(): SeasonSource[] {
    const races = (this.#races ?? []).filter((race) => this.isChosen(race));
    const names = seasonNames(
      races.map(({ race }) => race),
      this.#files.map(({ name }) => name),
    );
    return [
      ...races.map(({ id }, i): SeasonSource => ({
        kind: 'device',
        raceId: id,
        name: names[i]!,
        places: this.#places[id] ?? {},
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
    if (reply.kind === 'season') this.#result = reply.result;
    else this.#problem = reply.message;
    this.#busy = false;
    this.#progress = null;
  }
}
