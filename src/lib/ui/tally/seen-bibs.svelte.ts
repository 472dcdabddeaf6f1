import { SvelteMap, SvelteSet } from 'svelte/reactivity';
import { projectRecords } from '../../records/projection.ts';
import type { TallyRecord } from '../../records/record.ts';

/** When a bib was last seen at each checkpoint of the station, milliseconds since 1970 by checkpoint id. */
export type SeenAt = Readonly<Record<string, number>>;

const THUMB_RESTS_MS = 200;

/** When which bib was tallied here: of those on screen at once, of all others when they are asked for. */
export class SeenBibs {
  readonly #seen = new SvelteMap<string, SeenAt>();
  /** Bibs whose earlier sightings have been looked up, whatever came of it. */
  readonly #lookedUp = new SvelteSet<string>();
  #restTimer: ReturnType<typeof setTimeout> | undefined;

  /**
   * @param recordsOfBib reads the own sightings of a bib, with what bears on them
   * @param mayRead whether reading now would hold up no write
   */
  constructor(
    private readonly recordsOfBib: (bib: string) => Promise<TallyRecord[]>,
    private readonly mayRead: () => boolean,
  ) {}

  of(bib: string): SeenAt | undefined {
    return this.#seen.get(bib);
  }

  note(bib: string | null, checkpoint: string, observedAt: string): void {
    if (bib === null) return;
    const at = Date.parse(observedAt);
    const before = this.#seen.get(bib);
    if ((before?.[checkpoint] ?? -Infinity) < at) this.#seen.set(bib, { ...before, [checkpoint]: at });
  }

  forget(): void {
    this.#lookedUp.clear();
    this.#seen.clear();
  }

  /** Looks the bib in the field up once the thumb rests: reading while it types would hold up the next write. */
  lookUp(bib: string | null | undefined): void {
    clearTimeout(this.#restTimer);
    if (typeof bib !== 'string' || this.#lookedUp.has(bib)) return;
    this.#restTimer = setTimeout(() => {
      // Only a hint: without it tallying goes on.
      if (this.mayRead()) this.read(bib).catch(() => undefined);
    }, THUMB_RESTS_MS);
  }

  /** Reads when the bib was seen, unless that is known. */
  async read(bib: string): Promise<void> {
    if (this.#lookedUp.has(bib)) return;
    const records = await this.recordsOfBib(bib);
    this.#lookedUp.add(bib);
    for (const sighting of projectRecords(records).sightings) {
      if (!sighting.withdrawn && sighting.bib === bib) this.note(bib, sighting.checkpoint, sighting.record.observedAt);
    }
  }
}
