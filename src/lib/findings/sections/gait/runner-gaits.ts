import { compareCodePoints } from '../../../records/code-point-order.ts';
import { OUTCOMES, WALKING, type RunnerOutcome } from '../../../sightings/runner-classes.ts';
import type { MeasuredPassage } from '../../../clips/measure-passages.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** How a runner went at a checkpoint, and the class there if one is known. */
export interface RunnerGait {
  readonly gait: 'running' | 'walking' | 'disputed';
  readonly outcome: RunnerOutcome;
}

export type RunnerGaits = (checkpoint: string, bib: string) => RunnerGait;

const NOT_SIGHTED: RunnerGait = { gait: 'running', outcome: 'unclassified' };
const keyOf = (checkpoint: string, bib: string) => JSON.stringify([checkpoint, bib]);

/** From the resolved sightings, rulings and live ones included. */
export function gaitsOfSightings({ table, classes }: ResolvedRace): RunnerGaits {
  const gaits = new Map<string, RunnerGait>();
  for (let i = 0; i < classes.size; i += 1) {
    const outcome = classes.outcome[i]!;
    const gait = classes.running[i] ? 'running' : outcome === WALKING ? 'walking' : 'disputed';
    const key = keyOf(table.checkpoints[classes.checkpoint[i]!]!.name, table.bibs[classes.bib[i]!]!);
    gaits.set(key, { gait, outcome: OUTCOMES[outcome]! });
  }
  return (checkpoint, bib) => gaits.get(keyOf(checkpoint, bib)) ?? NOT_SIGHTED;
}

/** From the passages alone: each observer's latest passage of a runner votes with its gait. Nobody has a class. */
export function gaitsOfPassages(passages: readonly MeasuredPassage[]): RunnerGaits {
  const votes = new Map<string, Map<string, 'run' | 'walk'>>();
  // In order of their latest mark: a later one takes the place of an earlier one.
  for (const { passage } of passages) {
    const key = keyOf(passage.checkpoint, passage.bib);
    let observers = votes.get(key);
    if (!observers) votes.set(key, (observers = new Map<string, 'run' | 'walk'>()));
    observers.set(passage.observer, passage.gait);
  }
  return (checkpoint, bib) => {
    const given = [...(votes.get(keyOf(checkpoint, bib))?.values() ?? [])];
    const walk = given.filter((gait) => gait === 'walk').length;
    if (2 * walk > given.length) return { gait: 'walking', outcome: 'walking' };
    if (walk > 0 && 2 * walk === given.length) return { gait: 'disputed', outcome: 'disputed' };
    return NOT_SIGHTED;
  };
}

/** Checkpoints of the sightings and of the marks, by km, then by code point. */
export function allCheckpoints(
  ...lists: readonly (readonly { readonly name: string; readonly km: number }[])[]
): { name: string; km: number }[] {
  const kmOf = new Map(lists.flat().map(({ name, km }) => [name, km]));
  return [...kmOf].map(([name, km]) => ({ name, km })).sort((a, b) => a.km - b.km || compareCodePoints(a.name, b.name));
}
