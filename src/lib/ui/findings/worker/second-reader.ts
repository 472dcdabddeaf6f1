import type { GatheredRecords } from '../../../sightings/gathered-records.ts';
import { HALF_SEPARATOR, type HalfReply, type HalfRequest } from './half-messages.ts';

/** A second worker that reads beside this one, from when a large race is first read. It ends with this one. */
export class SecondReader {
  readonly #door: Promise<MessagePort>;
  #worker: Worker | null = null;
  #broken = false;

  /** @param door the second worker's to the page's database */
  constructor(door: Promise<MessagePort>) {
    this.#door = door;
  }

  /** What it reads; `null` where there can be none, or it could not. One request at a time. */
  async read(request: HalfRequest, tell: (done: number) => void): Promise<GatheredRecords | null> {
    if (this.#broken || typeof Worker === 'undefined') return null;
    const worker = (this.#worker ??= await this.#start());
    return new Promise((resolve) => {
      worker.onerror = () => {
        this.#broken = true;
        resolve(null);
      };
      worker.onmessage = ({ data }: MessageEvent<HalfReply>) => {
        if (data.kind === 'progress') tell(data.done);
        else if (data.kind === 'failed') resolve(null);
        else resolve({ ...data.gathered, ids: data.ids === '' ? [] : data.ids.split(HALF_SEPARATOR) });
      };
      worker.postMessage(request);
    });
  }

  async #start(): Promise<Worker> {
    const door = await this.#door;
    const worker = new Worker(new URL('./half-worker.ts', import.meta.url), { type: 'module' });
    worker.postMessage(null, [door]);
    return worker;
  }
}
