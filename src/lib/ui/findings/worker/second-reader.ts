import type { SecondDoor } from '../../store-door/store-of-page.ts';
import type { GatheredRecords } from '../../../sightings/gathered-records.ts';
import { IdColumn } from '../../../sightings/id-column.ts';
import type { HalfReply, HalfRequest } from './half-messages.ts';

/** A second worker that reads beside this one, from when a large race is first read. It ends with this one. */
export class SecondReader {
  readonly #door: Promise<SecondDoor>;
  #worker: Worker | null = null;
  #broken = false;

  /** @param door how it comes to the database */
  constructor(door: Promise<SecondDoor>) {
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
        else resolve({ ...data.gathered, ids: new IdColumn(data.ids) });
      };
      worker.postMessage(request);
    });
  }

  async #start(): Promise<Worker> {
    const { message, ports } = await this.#door;
    const worker = new Worker(new URL('./half-worker.ts', import.meta.url), { type: 'module' });
    worker.postMessage(message, ports);
    return worker;
  }
}
