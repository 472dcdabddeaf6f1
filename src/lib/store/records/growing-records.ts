import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../database.ts';
import { recordsOfBlock } from './record-block.ts';
import { ownRecords } from './records.ts';

const BATCH_SIZE = 1000;

/** A race's records as this device holds them: read once, and from then on only what has come since. */
export class GrowingRecords {
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  #device: string | undefined;
  #own: TallyRecord[] = [];
  #lastSeq = 0;
  /** By block, the first at place 0. */
  #pulled: TallyRecord[][] = [];

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  /** How many records there are now, without reading them. */
  async count(): Promise<number> {
    const lastOwn = await this.#db.records
      .where('[race+seq]')
      .between([this.#raceId, 0], [this.#raceId, Infinity])
      .reverse()
      .first();
    const { pulled = 0 } = (await this.#db.counters.get(this.#raceId)) ?? {};
    return (lastOwn?.seq ?? 0) + pulled;
  }

  /**
   * All records, own ones first, each id once.
   *
   * @param onRead hears how many have been read so far
   */
  async read(onRead: (records: number) => void = () => undefined): Promise<TallyRecord[]> {
    const { blocks = 0, device } = (await this.#db.counters.get(this.#raceId)) ?? {};
    // A race that was erased begins anew, under another device's name.
    if (device !== this.#device || blocks < this.#pulled.length) this.#forget();
    this.#device = device;
    for (;;) {
      const records = await ownRecords(this.#db, this.#raceId, BATCH_SIZE, this.#lastSeq);
      for (const record of records) this.#own.push(record);
      this.#lastSeq = records.at(-1)?.seq ?? this.#lastSeq;
      onRead(this.#own.length);
      if (records.length < BATCH_SIZE) break;
    }
    let pulled = 0;
    // The last block that was read may have grown.
    const from = Math.max(1, this.#pulled.length);
    for (const block of this.#pulled.slice(0, from - 1)) pulled += block.length;
    for (let block = from; block <= blocks; block += 1) {
      const row = await this.#db.blocks.get([this.#raceId, block]);
      this.#pulled[block - 1] = row ? recordsOfBlock(row) : [];
      pulled += this.#pulled[block - 1]!.length;
      onRead(this.#own.length + pulled);
    }
    return [...this.#own, ...this.#pulled.flat()];
  }

  #forget(): void {
    this.#own = [];
    this.#lastSeq = 0;
    this.#pulled = [];
  }
}
