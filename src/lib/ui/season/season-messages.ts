import type { CheckpointChoice } from '../../race/early-and-late.ts';
import type { CorrectedRace } from '../../findings/pool/corrected-races.ts';
import type { SingleFootRule } from '../../sightings/runner-classes.ts';
import type { Pooled } from '../../findings/pool/pooled.ts';
import type { PersonAtRaces } from '../../findings/pool/seen-at-races.ts';

/** A race of the season: one on this device, or a findings file of another. */
export type SeasonSource =
  | {
      readonly kind: 'device';
      readonly raceId: string;
      readonly name: string;
      /** Names of the two checkpoints, where others than the first and the last were chosen. */
      readonly places: CheckpointChoice;
    }
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
  /** The corrected changes of races on this device that have one: shown beside the pooled calls, not pooled. */
  readonly corrected: readonly CorrectedRace[];
  /** The first of those who were seen in two races or more; the others follow. */
  readonly people: readonly PersonAtRaces[];
  readonly peopleCount: number;
  readonly failures: readonly SeasonFailure[];
}

/** To the worker. */
export interface SeasonRequest {
  readonly id: number;
  readonly sources: readonly SeasonSource[];
  readonly level: number;
  /** Of races on this device; findings files are classed already. */
  readonly singleFoot: SingleFootRule;
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
  | { readonly id: number; readonly kind: 'people'; readonly people: readonly PersonAtRaces[] }
  | { readonly id: number; readonly kind: 'failed'; readonly message: string };
