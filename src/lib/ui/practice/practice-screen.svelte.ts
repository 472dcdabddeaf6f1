import type { PracticeSession } from '../../practice/practice-session.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { ClipSet } from './clip-sets/clip-set.svelte.ts';
import { PracticeDesk, type DrawnChoice } from './practice-desk.svelte.ts';
import { RehearsalDesk } from './rehearsal/rehearsal.svelte.ts';

/** What Practice shows: where a session begins, the one that runs, or what came of one. */
export class PracticeScreen {
  readonly desk: PracticeDesk;
  readonly rehearsals: RehearsalDesk;
  readonly clips: ClipSet;
  /** Whose eye it is. */
  observer = $state('');
  #running = $state.raw<PracticeSession>();
  #opened = $state<string>();
  #still = $state(false);

  /** @param still whether the person wants no movement unasked */
  constructor(db: KerbsideDatabase, still: boolean) {
    this.desk = new PracticeDesk(db);
    this.rehearsals = new RehearsalDesk(db);
    this.clips = new ClipSet(db);
    this.#still = still;
  }

  get running() {
    return this.#running;
  }
  /** The session whose result is looked at. */
  get shown() {
    return this.desk.sessions?.find(({ session }) => session.id === this.#opened);
  }
  get still() {
    return this.#still;
  }

  async start(): Promise<void> {
    void this.rehearsals.readRaces();
    await this.desk.read();
    this.observer ||= this.desk.observer;
  }

  /** Movement is wanted after all. */
  move(): void {
    this.#still = false;
  }

  async begin(choice: DrawnChoice): Promise<void> {
    this.#running = await this.desk.beginDrawn(this.observer, choice);
  }

  async beginClips(rate: number): Promise<void> {
    const { name, ready } = this.clips;
    this.#running = await this.desk.beginClips(this.observer, { set: name, clips: ready, rate });
  }

  async end(): Promise<void> {
    const ended = this.#running;
    this.#running = undefined;
    await this.desk.read();
    this.#opened = ended?.id;
  }

  open(id: string): void {
    this.#opened = id;
  }

  close(): void {
    this.#opened = undefined;
  }
}
