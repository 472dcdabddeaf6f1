import { FOOT_CLASSES } from '../../../records/foot.ts';
import { leftOf, methodOf, rightOf, RULING, UNSEEN } from '../../../sightings/seen.ts';
import { observerOf } from '../../../sightings/used-sightings.ts';
import { cohenKappa } from '../../../stats/agreement/cohen-kappa.ts';
import type { AgreementFigure } from '../agreement/figures.ts';
import { GrowingColumn } from '../../growing-column.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** Which edge of the course, seen in the running direction, an observer stood on at a checkpoint. */
export type SideOf = (observer: string, checkpoint: string) => 'left' | 'right' | undefined;

/** Where a foot is from two raters: near to both, far from both, or near to one of them. */
export const PAIR_NEARNESSES = ['near', 'far', 'mixed'] as const;
export type PairNearness = (typeof PAIR_NEARNESSES)[number];

export interface NearFarAgreement {
  readonly where: PairNearness;
  /** Feet that two raters both classed, over all pairs of raters. */
  readonly units: number;
  readonly agreement: number | null;
  readonly kappa: AgreementFigure;
}

class Pool {
  readonly table = FOOT_CLASSES.map(() => FOOT_CLASSES.map(() => 0));
  readonly first = new GrowingColumn();
  readonly second = new GrowingColumn();
  readonly cluster = new GrowingColumn();

  add(a: number, b: number, cluster: number): void {
    this.table[a]![b]! += 1;
    this.first.push(a);
    this.second.push(b);
    this.cluster.push(cluster);
  }
}

/**
 * Agreement apart for the near and the far foot, over all two raters whose sides of the course are known; `null` when no
 * two are. One runner at one checkpoint is one cluster, however many raters and feet.
 */
export function nearFarAgreement(
  { table, used }: ResolvedRace,
  sideOf: SideOf,
  level: number,
): readonly NearFarAgreement[] | null {
  const sides = table.checkpoints.map(({ name }) => table.observers.map((observer) => sideOf(observer, name)));
  const pools: Record<PairNearness, Pool> = { near: new Pool(), far: new Pool(), mixed: new Pool() };
  const { bib, checkpoint, rater, seen } = used;
  let clusters = 0;
  let to = 0;
  while (to < bib.length) {
    const from = to;
    while (to < bib.length && bib[to] === bib[from] && checkpoint[to] === checkpoint[from]) to += 1;
    let met = false;
    for (let i = from; i < to; i += 1) {
      for (let j = i + 1; j < to; j += 1) met = addPair(i, j) || met;
    }
    if (met) clusters += 1;
  }

  function addPair(one: number, other: number): boolean {
    const [a, b] = [seen[one]!, seen[other]!];
    // A clip is seen from the camera's place, which nobody wrote down as long as it is not the observer's.
    if (methodOf(a) === RULING || methodOf(b) === RULING) return false;
    const at = sides[checkpoint[one]!]!;
    const [sideA, sideB] = [at[observerOf(rater[one]!)], at[observerOf(rater[other]!)]];
    if (!sideA || !sideB) return false;
    let met = false;
    for (const [foot, classOf] of [
      ['left', leftOf],
      ['right', rightOf],
    ] as const) {
      if (classOf(a) === UNSEEN || classOf(b) === UNSEEN) continue;
      const where: PairNearness = sideA !== sideB ? 'mixed' : sideA === foot ? 'near' : 'far';
      pools[where].add(classOf(a), classOf(b), clusters);
      met = true;
    }
    return met;
  }

  if (clusters === 0) return null;
  return PAIR_NEARNESSES.map((where) => {
    const pool = pools[where];
    const units = pool.first.length;
    const agreed = pool.table.reduce((sum, row, i) => sum + row[i]!, 0);
    if (units === 0) return { where, units, agreement: null, kappa: NO_KAPPA };
    const { estimate, se, low, high, clusterLow, clusterHigh } = cohenKappa(pool.table, undefined, level, {
      first: pool.first.values(),
      second: pool.second.values(),
      cluster: pool.cluster.values(),
      clusterCount: clusters,
    });
    return { where, units, agreement: agreed / units, kappa: { estimate, se, low, high, clusterLow, clusterHigh } };
  });
}

const NO_KAPPA: AgreementFigure = {
  estimate: null,
  se: null,
  low: null,
  high: null,
  clusterLow: null,
  clusterHigh: null,
};
