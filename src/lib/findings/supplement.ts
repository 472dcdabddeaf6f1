import { methodOf, RULING } from '../sightings/seen.ts';
import { observerOf } from '../sightings/used-sightings.ts';
import { coverageFlow, type CoverageFlow } from './sections/coverage/coverage-flow.ts';
import { finishSpreads } from './sections/finish/finish-spread.ts';
import { nearFarAgreement, type NearFarAgreement, type SideOf } from './sections/observers/near-far-agreement.ts';
import { raterTendencies, type RaterTendency } from './sections/observers/rater-tendency.ts';
import type { RaceInFocus } from './race-in-focus.ts';
import type { FinishSpreads } from './sections/finish/pictures.ts';

/** What the Findings screen shows beyond the printed figures. */
export interface Supplement {
  /** Observers with a live or clip sighting that counts, by checkpoint in the table's order. */
  readonly observers: readonly { readonly checkpoint: string; readonly codes: readonly string[] }[];
  readonly spreads: FinishSpreads;
  readonly tendencies: readonly RaterTendency[];
  /** `null` when no two raters of known sides classed the same foot. */
  readonly nearFar: readonly NearFarAgreement[] | null;
  /** At the early and the late checkpoint; one entry with a single checkpoint. */
  readonly flows: readonly CoverageFlow[];
}

export function supplementOf({ race, field, early, late, level }: RaceInFocus, sideOf: SideOf): Supplement {
  const { table, used } = race;
  const codes = table.checkpoints.map(() => new Set<number>());
  for (let i = 0; i < used.rows.length; i += 1) {
    if (methodOf(used.seen[i]!) !== RULING) codes[used.checkpoint[i]!]!.add(observerOf(used.rater[i]!));
  }
  return {
    observers: table.checkpoints.map(({ name }, place) => ({
      checkpoint: name,
      codes: [...codes[place]!].sort((a, b) => a - b).map((code) => table.observers[code]!),
    })),
    spreads: field ? finishSpreads(race, field, early) : {},
    tendencies: raterTendencies(race),
    nearFar: nearFarAgreement(race, sideOf, level),
    flows:
      early === late
        ? [coverageFlow(race, field, early, late)]
        : [coverageFlow(race, field, early, late), coverageFlow(race, field, late, early)],
  };
}
