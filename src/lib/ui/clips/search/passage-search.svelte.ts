import type { FoundPassage } from '$lib/clips/find-passages.ts';
import type { RecordedClock } from '$lib/clips/frame-times.ts';
import { startSearchWorker } from './start-search-worker.ts';
import type { SearchReply, SearchRequest } from './search-messages.ts';

/** Looks through a clip for places where somebody passes, in a worker. */
export class PassageSearch {
  readonly #file: Blob;
  #worker: Worker | null = null;
  #found = $state.raw<readonly FoundPassage[]>([]);
  #share = $state<number | undefined>();
  #isDone = $state(false);
  #fault = $state('');

  constructor(file: Blob) {
    this.#file = file;
  }

  /** Without a decoder there is no looking through. */
  readonly canSearch = 'VideoDecoder' in globalThis;

  get found(): readonly FoundPassage[] {
    return this.#found;
  }
  /** Share of the clip that is searched, while it is. */
  get share(): number | undefined {
    return this.#share;
  }
  /** Whether the whole clip was searched. */
  get isDone(): boolean {
    return this.#isDone;
  }
  get fault(): string {
    return this.#fault;
  }

  start({ timing, fpsStored, fpsRecorded }: RecordedClock): void {
    this.stop();
    [this.#found, this.#share, this.#isDone, this.#fault] = [[], 0, false, ''];
    const worker = (this.#worker = startSearchWorker());
    worker.onmessage = ({ data }: MessageEvent<SearchReply>) => this.#take(data);
    worker.onerror = ({ message }) => this.#take({ kind: 'fault', words: message || 'The search could not start.' });
    worker.postMessage({ file: this.#file, clock: { timing, fpsStored, fpsRecorded } } satisfies SearchRequest);
  }

  /** Ends the search at once; what was found stays. */
  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#share = undefined;
  }

  #take(reply: SearchReply): void {
    if (reply.kind === 'progress') {
      [this.#share, this.#found] = [reply.share, reply.found];
      return;
    }
    this.stop();
    if (reply.kind === 'fault') this.#fault = reply.words;
    else [this.#found, this.#isDone] = [reply.found, true];
  }
}
