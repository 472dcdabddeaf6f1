import type { SamplingRule } from '../race/race.ts';
import { erlangLoss } from '../stats/erlang-loss.ts';
import { watchingAs } from './candidates.ts';
import { replay, type Replay } from './replay.ts';
import type { Plan } from './resolve-plan.ts';
import { watch, type PassedCheckpoint, type Watched } from './watched.ts';

export interface Capacity {
  readonly checkpoint: string;
  /** Runners of the fullest minute who pass while one is classed. */
  readonly peakLoad: number;
  readonly everyone: Watched;
  /** Whoever is free takes the next, everyone due, no packs. */
  readonly pooled: { readonly atPeak: number | null; readonly share: number | null };
  readonly rule: Watched;
  /** `null` without last year's results. */
  readonly replay: Replay | null;
  readonly packs: readonly { readonly pack: number; readonly share: number | null }[];
  readonly observers: readonly { readonly observers: number; readonly share: number | null }[];
}

export function capacityAt(plan: Plan, place: PassedCheckpoint, rule: SamplingRule, withReplay: boolean): Capacity {
  const watching = watchingAs(plan, rule, place);
  const peak = place.runners > 0 ? place.perMinute[place.peakMinute]! : 0;
  return {
    checkpoint: place.name,
    peakLoad: (peak * place.secondsEach) / 60,
    everyone: watch(place, { ...watching, rule: { kind: 'everyone' } }),
    pooled: pooledAt(place),
    rule: watch(place, watching),
    replay: withReplay ? replay(place) : null,
    packs: [1, 2, 3].map((pack) => ({ pack, share: watch(place, { ...watching, pack }).share })),
    observers: [1, 2, 3, 4].map((observers) => ({ observers, share: watch(place, { ...watching, observers }).share })),
  };
}

function pooledAt(place: PassedCheckpoint): Capacity['pooled'] {
  if (place.runners === 0) return { atPeak: null, share: null };
  const kept = (count: number): number => 1 - erlangLoss(place.observers, (count * place.secondsEach) / 60);
  const classed = place.perMinute.reduce((sum, count) => sum + (count > 0 ? count * kept(count) : 0), 0);
  return { atPeak: kept(place.perMinute[place.peakMinute]!), share: classed / place.runners };
}
