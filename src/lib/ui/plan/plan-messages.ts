import type { Outlook } from '../../plan/outlook.ts';
import type { PlanFigures } from '../../plan/plan-figures.ts';

/** To the worker. `given` is whatever the page holds: the worker reads it as the command line reads a file. */
export interface PlanRequest {
  readonly id: number;
  readonly given: unknown;
  readonly finishes: readonly number[] | null;
}

/** From the worker; `id` is the request's. */
export type PlanReply =
  | {
      readonly id: number;
      readonly kind: 'plan';
      readonly figures: PlanFigures;
      readonly outlook: Outlook;
      readonly cautions: readonly string[];
      readonly tookMs: number;
    }
  | { readonly id: number; readonly kind: 'faults'; readonly faults: readonly string[] };
