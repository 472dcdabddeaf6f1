import type { Race } from '../../race/race.ts';
import type { SingleFootRule } from '../../sightings/runner-classes.ts';
import type { Findings } from '../findings.ts';
import type { ValidationState } from '../sections/corrected/validation-draw.ts';
import type { Pooled } from '../pool/pooled.ts';
import type { Supplement } from '../supplement.ts';

/** What a report is written from. */
export interface ReportSource {
  readonly findings: Findings;
  readonly supplement: Supplement;
  readonly race: Race;
  /** The early and the late checkpoint, or the single one. */
  readonly focus: readonly string[];
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  readonly version: string;
  /** When it is written, RFC 3339. */
  readonly made: string;
  /** How those who were reviewed on clip had been chosen; `null` where nothing tells it. */
  readonly chosen: readonly ValidationState[] | null;
  /** What several races say together; `null` where the report is of one alone. */
  readonly season: Pooled | null;
}

/** What a report of several races is written from. */
export type SeasonReportSource = Pick<ReportSource, 'level' | 'version' | 'made'> & { readonly pooled: Pooled };
