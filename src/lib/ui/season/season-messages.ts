import type { Pooled } from '../../findings/pool/pooled.ts';
import type { PersonAtRaces } from '../../findings/pool/seen-at-races.ts';

/** A race of the season: one on this device, or a findings file of another. */
export type SeasonSource =
  | { readonly kind: 'device'; readonly raceId: string; readonly name: string }
  | { readonly kind: 'file'; readonly name: string; readonly file: File };

/** A race that could not be read, and why; the others go on. */
export interface SeasonFailure {
  readonly name: string;
  readonly why: string;
}

export interface SeasonResult {
  /** `null` when no race could be read. */
  readonly pooled: Pooled | null;
  readonly level: number;
  /** Names of the races on this device, in the order of each person's row. */
  readonly deviceRaces: readonly string[];
  readonly people: readonly PersonAtRaces[];
  readonly failures: readonly SeasonFailure[];
}

/** To the worker. */
export interface SeasonRequest {
  readonly id: number;
  readonly sources: readonly SeasonSource[];
  readonly level: number;
}

/** From the worker; `id` is the request's. */
export type SeasonReply =
  | {
      readonly id: number;
      readonly kind: 'progress';
      readonly done: number;
      readonly total: number;
      readonly name: string;
    }
  | { readonly id: number; readonly kind: 'season'; readonly result: SeasonResult }
  | { readonly id: number; readonly kind: 'failed'; readonly message: string };
