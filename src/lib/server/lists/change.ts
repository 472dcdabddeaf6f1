/** What live clients are told of, by number of race: small, since PostgreSQL carries at most 8,000 bytes. */
export type Change =
  | {
      readonly kind: 'records';
      readonly raceNo: number;
      readonly arrival: number;
      /** The devices whose records these are or are about; null when there are too many to name. */
      readonly devices: readonly string[] | null;
    }
  | {
      readonly kind: 'setup';
      readonly raceNo: number;
      readonly what: 'race' | 'startlist' | 'results';
      readonly revision: number;
    };

/** Hands each change to everyone who listens in this process. */
export class ChangeBus {
  readonly #listeners = new Set<(change: Change | null) => void>();

  listen(heard: (change: Change | null) => void): () => void {
    this.#listeners.add(heard);
    return () => this.#listeners.delete(heard);
  }

  /** Whether anybody listens. */
  get isHeard(): boolean {
    return this.#listeners.size > 0;
  }

  tell(change: Change | null): void {
    for (const heard of this.#listeners) heard(change);
  }
}
