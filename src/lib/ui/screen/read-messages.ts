import type { Race } from '../../race/race.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { HandoffFault } from '../../tables/handoff-file.ts';

/** What the page asks of the worker that reads what came whole: a payload to read, then batch after batch. */
export type ReadAsked = { readonly payload: Uint8Array; readonly called: string } | 'next';

/** What came, as far as it can be said without its records. */
export interface HandoffSummary {
  readonly race: Race;
  readonly observers: readonly string[];
  /** `madeAt` of the first and the last record; `null` without records. */
  readonly times: readonly [first: string, last: string] | null;
  readonly confirmation: string;
}

export type ReadAnswer =
  | { readonly kind: 'damaged' }
  | { readonly kind: 'faults'; readonly faults: readonly HandoffFault[] }
  | { readonly kind: 'summary'; readonly summary: HandoffSummary }
  /** In id order; after the last batch an empty one. */
  | { readonly kind: 'records'; readonly records: readonly TallyRecord[] }
  | { readonly kind: 'failed'; readonly message: string };
