import type { KerbsideDatabase } from '../../store/database.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { takeEarlyFindings, type EarlyFindings } from './worker/early-findings.ts';
import { FindingsClient, FindingsStopped } from './worker/findings-client.ts';
import type {
  FindingsChoices,
  FindingsProgress,
  FindingsResult,
  SquadRequest,
  SquadResult,
} from './worker/findings-messages.ts';
import { hearOfRace } from './worker/hear-of-race.ts';

/** New records come in bursts, or one a second all day: the figures are computed again this long after the first of them. */
const GATHER_MS = 1_500;

/** The findings of one race as a screen shows them. What is shown stays until the next figures are ready. */
export class FindingsView {
  readonly #raceId: string;
  readonly #early: EarlyFindings | null;
  readonly #client: FindingsClient;
  #result = $state.raw<FindingsResult | null>(null);
  #squad = $state.raw<SquadResult | null>(null);
  #progress = $state.raw<FindingsProgress | null>(null);
  #busy = $state(false);
  #stopped = $state(false);
  #failure = $state<string | null>(null);
  #choices = $state.raw<FindingsChoices>({});
  #squadRequest: SquadRequest;
  #turn = 0;

  constructor(
    db: KerbsideDatabase,
    raceId: string,
    choices: FindingsChoices,
    squad: SquadRequest = { team: null, bibs: [] },
  ) {
    this.#early = takeEarlyFindings(raceId);
    this.#client = new FindingsClient(db, this.#early?.worker);
    this.#raceId = raceId;
    this.#choices = choices;
    this.#squadRequest = squad;
  }

  get result() {
    return this.#result;
  }
  /** What was chosen last; `result` may still show what was chosen before. */
  get choices() {
    return this.#choices;
  }
  get squad() {
    return this.#squad;
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
  get failure() {
    return this.#failure;
  }

  /** Computes, then listens for new records. Returns the way to end both. */
  run(): () => void {
    let gathering: ReturnType<typeof setTimeout> | undefined;
    const changed = () => {
      gathering ??= setTimeout(() => {
        gathering = undefined;
        // A computation that runs may have read before the change: this one comes after it.
        if (this.#busy) changed();
        else void this.compute(true);
      }, GATHER_MS);
    };
    const early = this.#early?.handOver(changed);
    const deafen = early?.deafen ?? hearOfRace(this.#raceId, changed);
    void this.compute(early?.changed ?? true);
    return () => {
      clearTimeout(gathering);
      deafen();
      this.#client.stop();
    };
  }

  choose(choices: FindingsChoices): void {
    this.#choices = choices;
    void this.compute(this.#result === null);
  }

  async chooseSquad(request: SquadRequest): Promise<void> {
    this.#squadRequest = request;
    if (!this.#result) return;
    await this.#askSquad();
  }

  /** Draws which runners to review on clip at a checkpoint, in the name of a lead; the seed is kept and shown, so that no hand picks. */
  async draw(checkpoint: string, observer: string): Promise<void> {
    try {
      const seed = new DataView(browserSurroundings.randomBytes(new Uint8Array(4)).buffer).getUint32(0);
      const now = browserSurroundings.now();
      const validation = await this.#client.draw({ checkpoint, seed, now, observer });
      if (this.#result) this.#result = { ...this.#result, validation };
    } catch (error) {
      if (!(error instanceof FindingsStopped)) this.#failure = error instanceof Error ? error.message : String(error);
    }
  }

  stop(): void {
    this.#client.stop();
    this.#stopped = true;
  }

  async compute(fresh: boolean): Promise<void> {
    this.#turn += 1;
    const turn = this.#turn;
    this.#busy = true;
    this.#stopped = false;
    this.#failure = null;
    try {
      const result = await this.#client.compute(this.#raceId, this.#choices, {
        fresh,
        onProgress: (progress) => (this.#progress = progress),
      });
      if (turn !== this.#turn) return;
      this.#result = result;
      await this.#askSquad();
    } catch (error) {
      if (!(error instanceof FindingsStopped)) this.#failure = error instanceof Error ? error.message : String(error);
    } finally {
      if (turn === this.#turn) {
        this.#busy = false;
        this.#progress = null;
      }
    }
  }

  async #askSquad(): Promise<void> {
    const { team, bibs } = this.#squadRequest;
    this.#squad = team === null && bibs.length === 0 ? null : await this.#client.squad(this.#squadRequest);
  }
}
