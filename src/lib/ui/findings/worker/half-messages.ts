import type { GatheredRecords } from '../../../sightings/gathered-records.ts';

/** To the worker that reads beside: the blocks `first` to `last` of a race. */
export interface HalfRequest {
  readonly raceId: string;
  readonly first: number;
  readonly last: number;
}

/** From the worker; `done`: records read so far. */
export type HalfReply =
  | { readonly kind: 'progress'; readonly done: number }
  | {
      readonly kind: 'gathered';
      readonly ids: Uint32Array<ArrayBuffer>;
      readonly gathered: Omit<GatheredRecords, 'ids'>;
    }
  | { readonly kind: 'failed' };
