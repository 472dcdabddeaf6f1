import { compareCodePoints } from '../../../records/code-point-order.ts';
import { FOOT_CLASSES, type FootClass } from '../../../records/foot.ts';
import { FOOT_OUTCOMES, runnerClasses, WALKING, type RunnerClasses } from '../../../sightings/runner-classes.ts';
import { CLIP, gaitOf, leftOf, LIVE, methodOf, NEAR_FEET, rightOf, UNSEEN, WALK } from '../../../sightings/seen.ts';
import { type SightingTable } from '../../../sightings/sighting-table.ts';
import { usedBy } from '../../../sightings/used-sightings.ts';
import type { AgreementCoefficient, ClusteredUnits } from '../../../stats/agreement/agreement-coefficient.ts';
import { clusteredDifference } from '../../../stats/proportions/clustered-difference.ts';
import { clusteredProportion, type ClusteredHits } from '../../../stats/proportions/clustered-proportion.ts';
import { cohenKappa } from '../../../stats/agreement/cohen-kappa.ts';
import { gwetAc1 } from '../../../stats/agreement/gwet-ac1.ts';
import type { AgreementFigure } from '../agreement/figures.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import {
  LIVE_SIDES,
  type LiveAgainstClip,
  type LiveReading,
  type LiveSide,
  type ReadingShare,
} from './live-against-clip.ts';

const REARFOOT_FOOT = FOOT_CLASSES.indexOf('rearfoot');
const FOREFOOT_FOOT = FOOT_CLASSES.indexOf('forefoot');
const FOOT_DISPUTED = FOOT_OUTCOMES.indexOf('disputed');

type FootState = 'notInClip' | 'walking' | 'disputed' | 'clipUnseen' | 'liveUnseen' | 'units';

/** One foot as one live observer has it. */
interface LiveFoot {
  readonly observer: number;
  readonly checkpoint: number;
  readonly side: LiveSide;
  readonly state: FootState;
  /** Places in `FOOT_CLASSES` where `state` is `units`. */
  readonly live: number;
  readonly clip: number;
  /** One for each bib at one checkpoint. */
  readonly cluster: number;
}

/**
 * What live observers called the feet that clips class. It rests on sightings alone; the clip is a reference and no truth.
 * `null` without a live or without a clip sighting. Linear in the sightings.
 */
export function liveAgainstClip({ table, used }: ResolvedRace, level: number): LiveAgainstClip | null {
  const made = (method: number) => used.seen.some((seen) => methodOf(seen) === method);
  if (!made(CLIP) || !made(LIVE)) return null;
  const seen = runnerClasses(table, usedBy(used, CLIP));
  const feet = liveFeet(table, usedBy(used, LIVE).rows, seen);
  const figures = (belongs: (foot: LiveFoot) => boolean) => readingOf(feet.filter(belongs), level);
  const observers = [...new Set(feet.map(({ observer }) => observer))]
    .map((observer) => ({ observer, name: table.observers[observer]! }))
    .sort((a, b) => compareCodePoints(a.name, b.name));
  return {
    all: readingOf(feet, level),
    observers: observers.map(({ observer, name }) => ({
      observer: name,
      ...figures((foot) => foot.observer === observer),
    })),
    sides: {
      ...recordBy(LIVE_SIDES, (side) => figures((foot) => foot.side === side)),
      difference: sensitivityDifference(feet, level),
    },
    checkpoints: table.checkpoints.map(({ name, km }, place) => ({
      ...{ checkpoint: name, km },
      ...figures(({ checkpoint }) => checkpoint === place),
    })),
  };
}

function liveFeet(table: SightingTable, live: Int32Array, seen: RunnerClasses): LiveFoot[] {
  const feet: LiveFoot[] = [];
  const places = table.checkpoints.length;
  // Both stand by bib, then checkpoint: one walk finds for each live sighting what the clips say.
  let next = 0;
  for (const row of live) {
    const what = table.seen[row]!;
    const checkpoint = table.checkpoint[row]!;
    const cluster = table.bib[row]! * places + checkpoint;
    while (next < seen.size && seen.bib[next]! * places + seen.checkpoint[next]! < cluster) next += 1;
    const meets = next < seen.size && seen.bib[next]! * places + seen.checkpoint[next]! === cluster;
    const entry = meets ? next : undefined;
    for (const foot of ['left', 'right'] as const) {
      const near = NEAR_FEET[table.nearFoot[row]!]!;
      const called = foot === 'left' ? leftOf(what) : rightOf(what);
      const clip = entry === undefined ? UNSEEN : seen[foot][entry]!;
      const state = stateOf(seen, entry, clip, gaitOf(what) === WALK, called);
      const side: LiveSide = near === 'unknown' ? 'unknown' : near === foot ? 'near' : 'far';
      feet.push({ observer: table.observer[row]!, checkpoint, cluster, side, state, live: called, clip });
    }
  }
  return feet;
}

function stateOf(
  seen: RunnerClasses,
  entry: number | undefined,
  clip: number,
  walksLive: boolean,
  called: number,
): FootState {
  if (entry === undefined) return 'notInClip';
  const running = seen.running[entry] === 1;
  if (walksLive || (!running && seen.outcome[entry] === WALKING)) return 'walking';
  if (!running || clip === FOOT_DISPUTED) return 'disputed';
  if (clip === UNSEEN) return 'clipUnseen';
  return called === UNSEEN ? 'liveUnseen' : 'units';
}

function readingOf(feet: readonly LiveFoot[], level: number): LiveReading {
  const units = feet.filter(({ state }) => state === 'units');
  const table = FOOT_CLASSES.map(() => FOOT_CLASSES.map(() => 0));
  for (const { clip, live } of units) table[clip]![live]! += 1;
  const clustered = clusteredUnits(units);
  const share = (of: (foot: LiveFoot) => boolean, hit: (foot: LiveFoot) => boolean): ReadingShare => {
    const { method: _, ...figures } = clusteredProportion(hitsOf(units, of, hit), level);
    return figures;
  };
  const isClip = (foot: number) => (unit: LiveFoot) => unit.clip === foot;
  const isLive = (foot: number) => (unit: LiveFoot) => unit.live === foot;
  const not = (says: (unit: LiveFoot) => boolean) => (unit: LiveFoot) => !says(unit);
  const ofClass = (foot: number) => ({
    sensitivity: share(isClip(foot), isLive(foot)),
    specificity: share(not(isClip(foot)), not(isLive(foot))),
  });
  const count = (state: FootState) => feet.reduce((sum, foot) => sum + (foot.state === state ? 1 : 0), 0);
  return {
    units: units.length,
    ...recordBy(['liveUnseen', 'clipUnseen', 'notInClip', 'walking', 'disputed'], count),
    table,
    agreement: share(
      () => true,
      ({ clip, live }) => clip === live,
    ),
    kappa: membersOf(cohenKappa(table, undefined, level, clustered)),
    ac1: membersOf(gwetAc1(table, level, clustered)),
    rearfoot: {
      ...ofClass(REARFOOT_FOOT),
      positive: share(isLive(REARFOOT_FOOT), isClip(REARFOOT_FOOT)),
      negative: share(not(isLive(REARFOOT_FOOT)), not(isClip(REARFOOT_FOOT))),
    },
    forefoot: ofClass(FOREFOOT_FOOT),
  };
}

function hitsOf(
  units: readonly LiveFoot[],
  of: (foot: LiveFoot) => boolean,
  hit: (foot: LiveFoot) => boolean,
): ClusteredHits {
  const hits: boolean[] = [];
  const clusters: number[] = [];
  for (const unit of units) {
    if (!of(unit)) continue;
    hits.push(hit(unit));
    clusters.push(unit.cluster);
  }
  return { hits, clusters };
}

/** @param units by cluster, as sightings that count are */
function clusteredUnits(units: readonly LiveFoot[]): ClusteredUnits {
  let [clusterCount, last] = [0, -1];
  const cluster = units.map((unit) => {
    if (unit.cluster !== last) clusterCount += 1;
    last = unit.cluster;
    return clusterCount - 1;
  });
  return { first: units.map(({ clip }) => clip), second: units.map(({ live }) => live), cluster, clusterCount };
}

function membersOf({ estimate, se, low, high, clusterLow, clusterHigh }: AgreementCoefficient): AgreementFigure {
  return { estimate, se, low, high, clusterLow, clusterHigh };
}

function sensitivityDifference(feet: readonly LiveFoot[], level: number): LiveAgainstClip['sides']['difference'] {
  const rearfoot = feet.filter(({ state, clip }) => state === 'units' && clip === REARFOOT_FOOT);
  const ofSide = (side: LiveSide) =>
    hitsOf(
      rearfoot,
      (foot) => foot.side === side,
      ({ live }) => live === REARFOOT_FOOT,
    );
  const { first, second, difference, low, high } = clusteredDifference(ofSide('near'), ofSide('far'), level);
  return { near: first, far: second, difference, low, high };
}

/** Feet that an observer called one class live and that the clips class otherwise: what the sentences count. */
export function calledAs(reading: LiveReading, live: FootClass, clip: FootClass): number {
  return reading.table[FOOT_CLASSES.indexOf(clip)]![FOOT_CLASSES.indexOf(live)]!;
}
