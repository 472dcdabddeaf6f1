import * as v from 'valibot';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { API } from '../wire/api-paths.ts';
import { healthSchema, streamRecordsSchema } from '../wire/wire.ts';
import type { HubLink } from '../store/database.ts';
import { storeFailure, type StoreFailure } from '../store/store-failure.ts';
import { OffsetEstimate } from './clock-offset.ts';
import { streamEvents } from './event-stream.ts';
import type { ExchangeStore } from './exchange-store.ts';
import { exchangeSetUp, type Choice, type Choices, type SetUpPart } from './exchange-set-up.ts';
import { HubClient, type HubFailure } from './hub-client.ts';
import { pullRecords } from './pull-records.ts';
import { bringRecords, pushWaiting } from './push-records.ts';
import { retryDelayMs } from './retry-delay.ts';
import type { Surroundings } from './surroundings.ts';
import { NOT_LINKED, type SyncState } from './sync-state.ts';

/** Taps come in bursts: what falls into this time goes up together. */
const GATHER_MS = 400;
/** How often the hub is asked for news while it tells them by itself, while it does not, and while nobody looks. */
const POLL_LISTENING_MS = 60_000;
const POLL_MS = 10_000;
const POLL_UNSEEN_MS = 60_000;
/** A token that is no longer known may come to life again (the hub's data put back): asked now and then. */
const REFUSED_MS = 300_000;

type Failure = HubFailure | StoreFailure;
/** What a round has to do beside handing in: a word from the hub or from a person makes them due. */
interface Due {
  pull: boolean;
  setUp: boolean;
  again: boolean;
  choices: Choices;
}

/**
 * Keeps one race in step with the hub in the background: hands in what waits, pulls what the role may see, brings the
 * set-up into step, and listens for news. It never stands in the way of tallying: it reads what the store has, when it
 * has it. One round runs at a time; a round that fails is tried again after a growing, uneven wait. Two tabs may do the
 * same work side by side: the hub and the store take everything twice without harm.
 */
export class RaceSync {
  readonly #store: ExchangeStore;
  readonly #surroundings: Surroundings;
  readonly #offset = new OffsetEstimate();
  readonly #listeners = new Set<(state: SyncState) => void>();
  #state: SyncState = NOT_LINKED;
  #due: Due = { pull: true, setUp: true, again: false, choices: {} };
  #running = false;
  #stopped = true;
  #visible = true;
  #failures = 0;
  #stopTimer: (() => void) | undefined;
  #timerAt = Infinity;
  #stream: AbortController | undefined;

  constructor(store: ExchangeStore, surroundings: Surroundings) {
    this.#store = store;
    this.#surroundings = surroundings;
  }

  get state(): SyncState {
    return this.#state;
  }

  /** Calls `listener` with the state now and after each change. Returns the way to stop. */
  subscribe(listener: (state: SyncState) => void): () => void {
    this.#listeners.add(listener);
    listener(this.#state);
    return () => this.#listeners.delete(listener);
  }

  start(): void {
    this.#stopped = false;
    this.#schedule(0);
  }

  stop(): void {
    this.#stopped = true;
    this.#stopTimer?.();
    this.#stopTimer = undefined;
    this.#timerAt = Infinity;
    this.#stream?.abort();
  }

  /** A person wants it now: everything is tried, refused records too, without waiting for the next turn. */
  sendNow(): void {
    this.#due = { ...this.#due, pull: true, setUp: true, again: true };
    this.#schedule(0);
  }

  /** The device has joined, left or read files: what is known of its link is read anew. */
  linkChanged(): void {
    this.#stream?.abort();
    this.sendNow();
  }

  /** Own records were added, or the browser says that the network is back. */
  recordsChanged(): void {
    // While the hub does not answer, taps must not shorten the wait: each would be another try.
    if (this.#state.problem === null && this.#state.role !== null) this.#schedule(GATHER_MS);
  }

  networkBack(): void {
    this.#failures = 0;
    this.#due = { ...this.#due, pull: true };
    this.#schedule(GATHER_MS);
  }

  /** Set-up or lists were changed on this device. */
  setUpChanged(): void {
    this.#due = { ...this.#due, setUp: true };
    this.#schedule(GATHER_MS);
  }

  /** A page that nobody sees listens to no stream: a browser gives a hub only a few connections. */
  setVisible(visible: boolean): void {
    if (this.#visible === visible) return;
    this.#visible = visible;
    if (visible) this.#schedule(0);
    else this.#stream?.abort();
  }

  /** A person has chosen which side of a conflict stands. */
  choose(what: SetUpPart, choice: Choice): void {
    this.#due = { ...this.#due, setUp: true, choices: { ...this.#due.choices, [what]: choice } };
    this.#schedule(0);
  }

  #set(change: Partial<SyncState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener(this.#state);
  }

  /** Sets the next round to `ms` from now, unless one is to come sooner. */
  #schedule(ms: number): void {
    if (this.#stopped) return;
    const at = this.#surroundings.now() + ms;
    if (at >= this.#timerAt && this.#stopTimer) return;
    this.#stopTimer?.();
    this.#timerAt = at;
    this.#stopTimer = this.#surroundings.setTimer(ms, () => {
      this.#stopTimer = undefined;
      this.#timerAt = Infinity;
      this.#run().catch((error: unknown) => {
        // The device's storage is away: later it may be back.
        this.#running = false;
        this.#due = { ...this.#due, pull: true, setUp: true };
        this.#failedWith(storeFailure(error));
      });
    });
  }

  async #run(): Promise<void> {
    // The round that is running looks for more to do when it ends.
    if (this.#running) return this.#schedule(GATHER_MS);
    this.#running = true;
    const due = this.#due;
    this.#due = { pull: false, setUp: false, again: false, choices: {} };
    const link = await this.#store.link();
    if (!link) {
      this.#running = false;
      this.#set({ ...NOT_LINKED, changes: this.#state.changes });
      return;
    }
    this.#set({
      role: link.role,
      talking: true,
      refused: link.refused ?? [],
      lastContact: link.lastContact ?? null,
      offsetMs: link.offsetMs ?? null,
    });
    const done = await this.#round(link, due);
    const { lastContact, offsetMs } = this.#state;
    if (lastContact !== null && lastContact !== link.lastContact) {
      await this.#store.changeLink({ lastContact, ...(offsetMs === null ? {} : { offsetMs }) });
    }
    this.#running = false;
    this.#set({ talking: false, refused: (await this.#store.link())?.refused ?? [] });
    if (!done.ok) {
      // What was not done is still to do.
      this.#due = {
        pull: true,
        setUp: this.#due.setUp || due.setUp,
        again: this.#due.again,
        choices: { ...due.choices, ...this.#due.choices },
      };
      return this.#failedWith(done.error);
    }
    this.#failures = 0;
    this.#set({ problem: null, problemSince: null });
    if (this.#visible && !this.#stopped && !this.#stream) this.#listen(link);
    const more = this.#due.pull || this.#due.setUp || this.#due.again;
    this.#due.pull = true;
    if (more) this.#schedule(GATHER_MS);
    else if (this.#visible) this.#schedule(this.#state.listening ? POLL_LISTENING_MS : POLL_MS);
    else this.#schedule(POLL_UNSEEN_MS);
  }

  #failedWith(problem: Failure): void {
    this.#failures += 1;
    const now = this.#surroundings.now();
    this.#set({ talking: false, problem, problemSince: this.#state.problemSince ?? now });
    this.#stream?.abort();
    if (problem.type === 'slow-down') this.#schedule(problem.waitMs);
    else if (problem.type === 'refused') this.#schedule(REFUSED_MS);
    else this.#schedule(retryDelayMs(this.#failures, this.#surroundings.random()));
  }

  async #round(link: HubLink, due: Due): Promise<Attempt<undefined, Failure>> {
    const client = this.#client(link);
    const now = this.#surroundings.now;
    const again = due.again || (await this.#isUpdated(client, link));
    const pushed = await pushWaiting(client, this.#store, { now, again });
    if (!pushed.ok) return pushed;
    if (link.bringPulled && link.role !== 'observer') {
      const brought = await this.#bring(client);
      if (!brought.ok) return brought;
    }
    if (due.setUp) {
      const inStep = await this.#exchangeSetUp(client, link, due.choices);
      if (!inStep.ok) return inStep;
    }
    return due.pull ? this.#pull(client) : succeeded(undefined);
  }

  /** Whether a hub that could not read some records is another version now: then they are handed in again. */
  async #isUpdated(client: HubClient, { refused = [], hubVersion }: HubLink): Promise<boolean> {
    if (!refused.some(({ reason }) => reason.startsWith('malformed'))) return false;
    const health = await client.call({ path: API.health, answer: healthSchema });
    if (!health.ok || health.value.version === hubVersion) return false;
    await this.#store.changeLink({ hubVersion: health.value.version });
    return true;
  }

  #client(link: HubLink): HubClient {
    return new HubClient(this.#surroundings, link.token, (sample) => {
      const lastContact = this.#surroundings.now();
      const offsetMs = sample ? this.#offset.add(sample).offsetMs : this.#state.offsetMs;
      this.#set({ lastContact, offsetMs });
    });
  }

  async #bring(client: HubClient): Promise<Attempt<undefined, HubFailure>> {
    this.#set({ bringing: 0 });
    const onSent = (count: number) => this.#set({ bringing: (this.#state.bringing ?? 0) + count });
    const brought = await bringRecords(client, this.#store, { now: this.#surroundings.now, onSent });
    this.#set({ bringing: null });
    if (!brought.ok) return brought;
    const before = (await this.#store.link())?.refused ?? [];
    const refused = new Map([...before, ...brought.value].map(({ id, reason }) => [id, reason]));
    await this.#store.changeLink({
      bringPulled: false,
      refused: [...refused].map(([id, reason]) => ({ id, reason })),
    });
    return succeeded(undefined);
  }

  async #exchangeSetUp(client: HubClient, link: HubLink, choices: Choices): Promise<Attempt<undefined, HubFailure>> {
    const exchanged = await exchangeSetUp(client, this.#store, link.role, choices);
    if (exchanged.ok) {
      this.#set({ conflicts: exchanged.value, setUpRefused: null, changes: this.#state.changes + 1 });
      return succeeded(undefined);
    }
    // That a change of the set-up is refused must not keep the records from coming and going.
    const { error } = exchanged;
    if (error.type !== 'refused' || error.status === 401 || error.status === 403 || error.status === 404) {
      return failed(error);
    }
    this.#set({ setUpRefused: error.message });
    return succeeded(undefined);
  }

  async #pull(client: HubClient): Promise<Attempt<undefined, Failure>> {
    let any = false;
    const pulled = await pullRecords(client, this.#store, (count) => {
      any = true;
      this.#set({ pulled: this.#state.pulled + count });
    });
    if (any) this.#set({ changes: this.#state.changes + 1 });
    return pulled;
  }

  /** Listens until the stream ends; then the hub is asked again, which opens the next one. */
  #listen(link: HubLink): void {
    const stream = new AbortController();
    this.#stream = stream;
    this.#follow(link, stream.signal)
      .catch(() => undefined)
      .finally(() => {
        stream.abort();
        this.#stream = undefined;
        const wasListening = this.#state.listening;
        this.#set({ listening: false });
        if (this.#state.problem !== null) return;
        this.#due.pull = true;
        this.#schedule(
          !this.#visible ? POLL_UNSEEN_MS : wasListening ? retryDelayMs(1, this.#surroundings.random()) : POLL_MS,
        );
      });
  }

  async #follow(link: HubLink, signal: AbortSignal): Promise<void> {
    const stream = await this.#client(link).open(API.stream(this.#store.raceId), signal);
    if (!stream) return;
    this.#set({ listening: true });
    for await (const { event, data } of streamEvents(stream)) {
      if (event === 'setup') this.#due.setUp = true;
      else if (event !== 'records' || !(await this.#isNews(data))) continue;
      else this.#due.pull = true;
      this.#set({ changes: this.#state.changes + 1 });
      this.#schedule(0);
    }
  }

  async #isNews(data: string): Promise<boolean> {
    try {
      const told = v.safeParse(streamRecordsSchema, JSON.parse(data));
      return told.success && told.output.cursor !== (await this.#store.link())?.cursor;
    } catch {
      return false;
    }
  }
}
