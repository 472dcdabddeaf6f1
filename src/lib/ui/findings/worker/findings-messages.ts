import type { Race } from '../../../race/race.ts';
import type { SingleFootRule } from '../../../sightings/runner-classes.ts';
import type { Findings } from '../../../findings/findings.ts';
import type { DueCoverage } from '../../../findings/sections/coverage/due-coverage.ts';
import type { PlannedAgainstGot } from '../../../findings/sections/coverage/planned.ts';
import type { ValidationState } from '../../../findings/sections/corrected/validation-draw.ts';
import type { RunnerFigures } from '../../../findings/sections/gait/runner-figures.ts';
import type { Squad } from '../../../findings/sections/squad/figures.ts';
import type { SquadGroup } from '../../../findings/sections/squad/groups.ts';
import type { Supplement } from '../../../findings/supplement.ts';
import type { PracticeSummary } from '../choices/practice-in-use.ts';

/** What a reader can choose; names that the race does not have (any more) are passed over. */
export interface FindingsChoices {
  readonly early?: string | undefined;
  readonly late?: string | undefined;
  readonly level?: number | undefined;
  readonly singleFoot?: SingleFootRule | undefined;
}

/** A race's findings, and what they were made from. */
export interface FindingsResult {
  readonly race: Race;
  /** The invented race that shows the app. */
  readonly demo: boolean;
  readonly findings: Findings;
  /** `null` while there is no sighting. */
  readonly supplement: Supplement | null;
  /** The early and the late checkpoint; one with a single checkpoint, none without a sighting. */
  readonly focus: readonly string[];
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  /** Sighted checkpoints by km, to choose from. */
  readonly checkpoints: readonly { readonly name: string; readonly km: number }[];
  /** Sightings left out because the race has no such checkpoint. */
  readonly offCourse: number;
  /** At the checkpoints in focus: which runners were drawn for review on clip, and who was reviewed. */
  readonly validation: readonly ValidationState[];
  /** Which practice answers correct the shares; `null` where none could be chosen. */
  readonly practice: PracticeSummary | null;
  readonly teams: readonly { readonly name: string; readonly runners: number }[];
  /** How far those whom a rule of bib endings asked for were classified; `null` under other rules. */
  readonly due: DueCoverage | null;
  /** `null` when no plan is kept with the race on this device. */
  readonly planned: PlannedAgainstGot | null;
  /** How long reading and computing took in the worker. */
  readonly tookMs: number;
}

/** A squad, and what the start list says of its runners. */
export interface SquadResult {
  readonly squad: Squad;
  /** By sex, age and third of the field, where numbers allow. */
  readonly groups: readonly SquadGroup[];
  readonly names: Readonly<Record<string, string>>;
  /** Own starts, milliseconds since 1970. */
  readonly starts: Readonly<Record<string, number>>;
  /** What clips measured, by bib. */
  readonly figures: Readonly<Record<string, readonly RunnerFigures[]>>;
}

export interface SquadRequest {
  /** A team of the start list. */
  readonly team: string | null;
  readonly bibs: readonly string[];
}

export interface FindingsProgress {
  readonly stage: 'reading' | 'resolving' | 'computing';
  readonly done: number;
  readonly total: number;
}

/** Draws runners to review on clip, in the name of a lead. */
export interface DrawRequest {
  readonly id: number;
  readonly kind: 'draw';
  readonly checkpoint: string;
  readonly seed: number;
  /** Milliseconds since 1970. */
  readonly now: number;
  readonly observer: string;
}

/**
 * Begins to read a race whose findings will be asked for. No answer comes, and should it fail, `compute` reads again and says
 * so.
 */
export interface ReadRequest {
  readonly kind: 'read';
  readonly raceId: string;
}

/** To the worker. `fresh`: read the records again, they have changed. */
export type FindingsRequest =
  | {
      readonly id: number;
      readonly kind: 'compute';
      readonly raceId: string;
      readonly choices: FindingsChoices;
      readonly fresh: boolean;
    }
  | { readonly id: number; readonly kind: 'squad'; readonly squad: SquadRequest }
  | DrawRequest;

/** From the worker; `id` is the request's. */
export type FindingsReply =
  | { readonly id: number; readonly kind: 'progress'; readonly progress: FindingsProgress }
  | { readonly id: number; readonly kind: 'findings'; readonly result: FindingsResult }
  | { readonly id: number; readonly kind: 'squad'; readonly result: SquadResult | null }
  | { readonly id: number; readonly kind: 'validation'; readonly states: readonly ValidationState[] }
  | { readonly id: number; readonly kind: 'failed'; readonly message: string };
