import { DEMO_RACE } from './demo-field.ts';
import type { Foot } from '../records/foot.ts';
import { utcInstant } from '../records/instant.ts';
import { newId, type RandomBytes } from '../records/new-id.ts';
import type { Sighting } from '../records/record.ts';
import type { Random } from '../records/seeded-random.ts';

type Look = { checkpoint: string; bib: string | null; gait?: 'walk'; left: Foot; right: Foot };
type Draft = Omit<Sighting, 'id' | 'seq' | 'madeAt' | 'race' | 'kind' | 'device'>;

/** A tablet of the demo race: gathers what its observer saw and writes the records it would have written. */
export class DemoTablet {
  readonly device: string;
  readonly #observer: string;
  readonly #aheadMs: number;
  readonly #randomBytes: RandomBytes;
  readonly #drafts: Draft[] = [];

  /** @param aheadMs how far the tablet's clock runs ahead */
  constructor(random: Random, observer: string, aheadMs: number) {
    this.#randomBytes = (bytes) => bytes.map(() => Math.floor(random() * 256));
    this.#observer = observer;
    this.#aheadMs = aheadMs;
    this.device = newId(Date.parse(DEMO_RACE.start!), this.#randomBytes);
  }

  /** A runner seen live; returns its place among this tablet's sightings. */
  tally(look: Look, atMs: number): number {
    return this.#add(look, 'live', atMs + this.#aheadMs);
  }

  /** A runner seen in a clip that was filmed at `atMs`. */
  review(look: Look, atMs: number): number {
    return this.#add(look, 'clip', atMs);
  }

  /** The sighting at `place` once more, `afterMs` later. */
  repeat(place: number, afterMs: number): number {
    const first = this.#drafts[place]!;
    return this.#drafts.push({ ...first, observedAt: utcInstant(Date.parse(first.observedAt) + afterMs) }) - 1;
  }

  change(place: number, fields: Partial<Pick<Draft, 'bib' | 'left' | 'right'>>): void {
    Object.assign(this.#drafts[place]!, fields);
  }

  at(place: number): Pick<Draft, 'left' | 'right' | 'observedAt'> {
    return this.#drafts[place]!;
  }

  #add(look: Look, method: 'live' | 'clip', observedAtMs: number): number {
    return (
      this.#drafts.push({
        observer: this.#observer,
        ...look,
        method,
        observedAt: utcInstant(Math.round(observedAtMs)),
      }) - 1
    );
  }

  /** The records in the order of the sightings' places; `seq` follows the time they were made. */
  records(): Sighting[] {
    const order = this.#drafts
      .map((draft, place) => ({ place, madeAtMs: this.#madeAtMs(draft, place) }))
      .sort((a, b) => a.madeAtMs - b.madeAtMs);
    const records: Sighting[] = [];
    order.forEach(({ place, madeAtMs }, i) => {
      const { observer, checkpoint, bib, gait, left, right, method, observedAt } = this.#drafts[place]!;
      records[place] = {
        id: newId(madeAtMs, this.#randomBytes),
        kind: 'sighting',
        race: DEMO_RACE.id,
        observer,
        device: this.device,
        seq: i + 1,
        madeAt: utcInstant(madeAtMs),
        checkpoint,
        bib,
        ...(gait ? { gait } : {}),
        left,
        right,
        method,
        observedAt,
      };
    });
    return records;
  }

  /** A second and a half after the first foot; clips are worked through in the evening, twelve seconds each. */
  #madeAtMs(draft: Draft, place: number): number {
    return draft.method === 'live'
      ? Date.parse(draft.observedAt) + 1500
      : Date.parse(DEMO_RACE.start!) + 9 * 3_600_000 + place * 12_000;
  }
}
