import { compareCodePoints } from '../records/code-point-order.ts';
import type { Race } from './race.ts';

const RACE_FIELDS = [
  'id',
  'name',
  'date',
  'km',
  'start',
  'timeZone',
  'finishClock',
  'checkpoints',
  'observers',
  'samplingRule',
  'revision',
] as const satisfies readonly (keyof Race)[];

/** The one way to write a race's set-up: its fields, and those of checkpoints and observers, in one order. */
export function canonicalRace(race: Race): Race {
  const canonical: Record<string, unknown> = {};
  for (const field of RACE_FIELDS) if (race[field] !== undefined) canonical[field] = race[field];
  canonical['checkpoints'] = race.checkpoints.map(({ id, name, km }) => ({ id, name, km }));
  if (race.observers) {
    canonical['observers'] = race.observers.map(({ code, checkpoint, side }) => ({
      code,
      checkpoint,
      ...(side === undefined ? {} : { side }),
    }));
  }
  const rule = race.samplingRule;
  if (rule?.kind === 'every') canonical['samplingRule'] = { kind: rule.kind, k: rule.k };
  if (rule?.kind === 'windows') {
    canonical['samplingRule'] = { kind: rule.kind, onMinutes: rule.onMinutes, everyMinutes: rule.everyMinutes };
  }
  if (rule?.kind === 'endings') canonical['samplingRule'] = { kind: rule.kind, endings: [...rule.endings] };
  return canonical as Race;
}

/** A race as one line of JSON without its line end: the same set-up always gives the same line. */
export function raceLine(race: Race): string {
  return JSON.stringify(canonicalRace(race));
}

/**
 * Of two set-ups of one race the one that stands: the greater `revision` (none counts as 0), and at equal revisions the
 * one whose line is the greater by code point. Which is named first makes no difference.
 */
export function standingRace(a: Race, b: Race): Race {
  const byRevision = (a.revision ?? 0) - (b.revision ?? 0);
  if (byRevision !== 0) return byRevision > 0 ? a : b;
  return compareCodePoints(raceLine(a), raceLine(b)) >= 0 ? a : b;
}

/** Whether two set-ups say the same, their revisions aside. */
export function sameSetUp(a: Race, b: Race): boolean {
  return raceLine({ ...a, revision: undefined }) === raceLine({ ...b, revision: undefined });
}
