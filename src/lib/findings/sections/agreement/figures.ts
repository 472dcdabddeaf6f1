import { compareCodePoints } from '../../../records/code-point-order.ts';
import { FOOT_CLASSES } from '../../../records/foot.ts';
import { leftOf, methodOf, rightOf, RULING, UNSEEN } from '../../../sightings/seen.ts';
import { type SightingTable } from '../../../sightings/sighting-table.ts';
import type { UsedSightings } from '../../../sightings/used-sightings.ts';
import type { AgreementCoefficient, ClusteredUnits } from '../../../stats/agreement/agreement-coefficient.ts';
import { cohenKappa, linearWeights } from '../../../stats/agreement/cohen-kappa.ts';
import { gwetAc1 } from '../../../stats/agreement/gwet-ac1.ts';
import { krippendorffAlpha } from '../../../stats/agreement/krippendorff-alpha.ts';
import { raterName } from '../../rater-name.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** An agreement figure with its interval, and the interval that takes the two feet of one runner together. */
export interface AgreementFigure {
  estimate: number | null;
  se: number | null;
  low: number | null;
  high: number | null;
  clusterLow: number | null;
  clusterHigh: number | null;
}

export interface RaterPair {
  a: string;
  b: string;
  /** Feet that both classed. */
  units: number;
  /** 3×3: rows `a`, columns `b`. */
  table: number[][];
  /** Share of the units on which they agree. */
  agreement: number;
  kappa: AgreementFigure;
  weightedKappa: AgreementFigure;
  ac1: AgreementFigure;
}

export interface Agreement {
  pairs: RaterPair[];
  /** Krippendorff's alpha over all units with two or more ratings. */
  alpha: { estimate: number | null; units: number; raters: number };
}

const FEET = FOOT_CLASSES.length;

/** Raters by their number (`raterOf`): each observer live and in slow-motion review. */
interface Raters {
  names: string[];
  /** Place of each in alphabetical order. */
  rank: Int32Array;
}

function ratersOf(table: SightingTable): Raters {
  const names = table.observers.flatMap((observer) => [observer, raterName(observer, true)]);
  const order = [...names.keys()].sort((a, b) => compareCodePoints(names[a]!, names[b]!) || a - b);
  const rank = new Int32Array(names.length);
  order.forEach((rater, place) => (rank[rater] = place));
  return { names, rank };
}

/** Values that a foot can have in a sighting: the classes and unseen. */
const SEEN = FEET + 1;

/**
 * What two raters said of the feet that both classed. The feet of one runner at one checkpoint are one cluster, and there
 * are few ways in which two raters can see two feet: clusters that are alike are counted.
 */
class CommonFeet {
  readonly a: number;
  readonly b: number;
  readonly #clusters = new Float64Array(SEEN ** 4);

  constructor(a: number, b: number) {
    this.a = a;
    this.b = b;
  }

  /** Adds one runner at one checkpoint as both saw them. */
  add(seenByA: number, seenByB: number): void {
    const left = leftOf(seenByA) * SEEN + leftOf(seenByB);
    const right = rightOf(seenByA) * SEEN + rightOf(seenByB);
    this.#clusters[left * SEEN * SEEN + right]! += 1;
  }

  /** The feet of each kind of cluster, the kinds' counts, and the table of all feet. */
  #units(): { table: number[][]; units: ClusteredUnits } {
    const table = Array.from({ length: FEET }, () => new Array<number>(FEET).fill(0));
    const [first, second, cluster, alike]: number[][] = [[], [], [], []];
    for (const [kind, count] of this.#clusters.entries()) {
      if (count === 0) continue;
      const feet = [Math.floor(kind / (SEEN * SEEN)), kind % (SEEN * SEEN)]
        .map((foot) => [Math.floor(foot / SEEN), foot % SEEN] as const)
        .filter(([a, b]) => a !== UNSEEN && b !== UNSEEN);
      if (feet.length === 0) continue;
      for (const [a, b] of feet) {
        table[a]![b]! += count;
        first!.push(a);
        second!.push(b);
        cluster!.push(alike!.length);
      }
      alike!.push(count);
    }
    const units = { first: first!, second: second!, cluster: cluster!, clusterCount: alike!.length, alike: alike! };
    return { table, units };
  }

  figures(names: readonly string[], level: number): RaterPair | null {
    const { table, units: clustered } = this.#units();
    const units = table.flat().reduce((sum, count) => sum + count, 0);
    if (units === 0) return null;
    const agreed = table.reduce((sum, row, foot) => sum + row[foot]!, 0);
    return {
      a: names[this.a]!,
      b: names[this.b]!,
      units,
      table,
      agreement: agreed / units,
      kappa: members(cohenKappa(table, undefined, level, clustered)),
      weightedKappa: members(cohenKappa(table, linearWeights(FEET), level, clustered)),
      ac1: members(gwetAc1(table, level, clustered)),
    };
  }
}

/** All two raters who met at a runner. */
class RaterPairs {
  readonly #rank: Int32Array;
  readonly #pairs = new Map<number, CommonFeet>();
  /** The pair that met last, as most meet often in a row. */
  #last: CommonFeet | null = null;

  constructor(rank: Int32Array) {
    this.#rank = rank;
  }

  /** Adds a runner at one checkpoint whom the raters of two sightings in use both saw. */
  add({ rater, seen }: UsedSightings, one: number, other: number): void {
    const ordered = this.#rank[rater[one]!]! < this.#rank[rater[other]!]!;
    const first = ordered ? one : other;
    const second = ordered ? other : one;
    this.#of(rater[first]!, rater[second]!).add(seen[first]!, seen[second]!);
  }

  #of(a: number, b: number): CommonFeet {
    if (this.#last?.a === a && this.#last.b === b) return this.#last;
    const key = a * this.#rank.length + b;
    let pair = this.#pairs.get(key);
    if (!pair) {
      pair = new CommonFeet(a, b);
      this.#pairs.set(key, pair);
    }
    this.#last = pair;
    return pair;
  }

  inOrder(): CommonFeet[] {
    const rank = this.#rank;
    return [...this.#pairs.values()].sort((p, q) => rank[p.a]! - rank[q.a]! || rank[p.b]! - rank[q.b]!);
  }
}

function members({ estimate, se, low, high, clusterLow, clusterHigh }: AgreementCoefficient): AgreementFigure {
  return { estimate, se, low, high, clusterLow, clusterHigh };
}

/** All ratings of feet that two or more raters classed; feet that are alike in all ratings are counted. */
class SharedFeet {
  readonly #raterCount: number;
  readonly #kinds = new Map<number, number>();
  readonly #unit: number[] = [];
  readonly #rater: number[] = [];
  readonly #class: number[] = [];
  readonly #alike: number[] = [];

  constructor(raterCount: number) {
    this.#raterCount = raterCount;
  }

  /** Adds one foot of one runner at one checkpoint, as those in use from `from` to `to` (not included) saw it; they stand by rater. */
  add({ rater, seen }: UsedSightings, from: number, to: number, foot: (seen: number) => number): void {
    let ratings = 0;
    let code = 0;
    for (let i = from; i < to; i += 1) {
      const value = foot(seen[i]!);
      if (value === UNSEEN) continue;
      ratings += 1;
      code = code * (this.#raterCount * FEET + 1) + rater[i]! * FEET + value + 1;
    }
    if (ratings < 2) return;
    // Beyond the whole numbers that are exact two kinds could share one: such feet are counted one by one.
    const kind = code <= Number.MAX_SAFE_INTEGER ? this.#kinds.get(code) : undefined;
    if (kind !== undefined) {
      this.#alike[kind]! += 1;
      return;
    }
    const unit = this.#alike.push(1) - 1;
    if (code <= Number.MAX_SAFE_INTEGER) this.#kinds.set(code, unit);
    for (let i = from; i < to; i += 1) {
      const value = foot(seen[i]!);
      if (value === UNSEEN) continue;
      this.#unit.push(unit);
      this.#rater.push(rater[i]!);
      this.#class.push(value);
    }
  }

  alpha(): Agreement['alpha'] {
    const { estimate, units, raters } = krippendorffAlpha({
      unit: this.#unit,
      rater: this.#rater,
      class: this.#class,
      unitCount: this.#alike.length,
      raterCount: this.#raterCount,
      classCount: FEET,
      alike: this.#alike,
    });
    return { estimate, units, raters };
  }
}

/**
 * How far the observers agree, foot by foot. Rulings are left out; `unseen` is missing. Every two raters who stood at one
 * runner meet once, so the cost grows with such meetings.
 */
export function agreementOf({ table, used }: ResolvedRace, level: number): Agreement {
  const { names, rank } = ratersOf(table);
  const pairs = new RaterPairs(rank);
  const shared = new SharedFeet(names.length);
  const { bib, checkpoint, seen } = used;
  let to = 0;
  while (to < bib.length) {
    const from = to;
    // Within one bib and checkpoint they are sorted by rater, rulings last.
    let raters = from;
    while (to < bib.length && bib[to] === bib[from] && checkpoint[to] === checkpoint[from]) {
      if (methodOf(seen[to]!) !== RULING) raters = to + 1;
      to += 1;
    }
    if (raters - from < 2) continue;
    shared.add(used, from, raters, leftOf);
    shared.add(used, from, raters, rightOf);
    for (let i = from; i < raters; i += 1) {
      for (let j = i + 1; j < raters; j += 1) pairs.add(used, i, j);
    }
  }
  return {
    pairs: pairs.inOrder().flatMap((pair) => pair.figures(names, level) ?? []),
    alpha: shared.alpha(),
  };
}
