import { compareCodePoints } from '../../../records/code-point-order.ts';
import { FOOT_CLASSES } from '../../../records/foot.ts';
import { leftOf, methodOf, rightOf, RULING, UNSEEN, type SightingTable } from '../../../sightings/sighting-table.ts';
import { raterOf } from '../../../sightings/used-sightings.ts';
import type { AgreementCoefficient } from '../../../stats/agreement-coefficient.ts';
import { cohenKappa, linearWeights } from '../../../stats/cohen-kappa.ts';
import { gwetAc1 } from '../../../stats/gwet-ac1.ts';
import { krippendorffAlpha } from '../../../stats/krippendorff-alpha.ts';
import type { Agreement, AgreementFigure, RaterPair } from '../../findings.ts';
import { GrowingColumn } from '../../growing-column.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

const FEET = FOOT_CLASSES.length;

/** Raters by their number (`raterOf`): each observer live and in slow-motion review. */
interface Raters {
  names: string[];
  /** Place of each in alphabetical order. */
  rank: Int32Array;
}

function ratersOf(table: SightingTable): Raters {
  const names = table.observers.flatMap((observer) => [observer, `${observer} (clip)`]);
  const order = [...names.keys()].sort((a, b) => compareCodePoints(names[a]!, names[b]!) || a - b);
  const rank = new Int32Array(names.length);
  order.forEach((rater, place) => (rank[rater] = place));
  return { names, rank };
}

/** What two raters said of the feet that both classed. The feet of one runner at one checkpoint are one cluster. */
class CommonFeet {
  readonly a: number;
  readonly b: number;
  readonly table = Array.from({ length: FEET }, () => new Array<number>(FEET).fill(0));
  readonly #first = new GrowingColumn();
  readonly #second = new GrowingColumn();
  readonly #cluster = new GrowingColumn();
  #clusters = 0;

  constructor(a: number, b: number) {
    this.a = a;
    this.b = b;
  }

  /** Adds one runner at one checkpoint as both saw them. */
  add(seenByA: number, seenByB: number): void {
    const left = this.#foot(leftOf(seenByA), leftOf(seenByB));
    const right = this.#foot(rightOf(seenByA), rightOf(seenByB));
    if (left || right) this.#clusters += 1;
  }

  #foot(a: number, b: number): boolean {
    if (a === UNSEEN || b === UNSEEN) return false;
    this.table[a]![b]! += 1;
    this.#first.push(a);
    this.#second.push(b);
    this.#cluster.push(this.#clusters);
    return true;
  }

  figures(names: readonly string[], level: number): RaterPair | null {
    const units = this.#first.length;
    if (units === 0) return null;
    const clustered = {
      first: this.#first.values(),
      second: this.#second.values(),
      cluster: this.#cluster.values(),
      clusterCount: this.#clusters,
    };
    const agreed = this.table.reduce((sum, row, foot) => sum + row[foot]!, 0);
    return {
      a: names[this.a]!,
      b: names[this.b]!,
      units,
      table: this.table,
      agreement: agreed / units,
      kappa: members(cohenKappa(this.table, undefined, level, clustered)),
      weightedKappa: members(cohenKappa(this.table, linearWeights(FEET), level, clustered)),
      ac1: members(gwetAc1(this.table, level, clustered)),
    };
  }
}

function members({ estimate, se, low, high, clusterLow, clusterHigh }: AgreementCoefficient): AgreementFigure {
  return { estimate, se, low, high, clusterLow, clusterHigh };
}

/** All ratings of feet that two or more raters classed. */
class SharedFeet {
  readonly #unit = new GrowingColumn();
  readonly #rater = new GrowingColumn();
  readonly #class = new GrowingColumn();
  #units = 0;

  add(rows: Int32Array, foot: (seen: number) => number, table: SightingTable): void {
    let ratings = 0;
    for (const row of rows) if (foot(table.seen[row]!) !== UNSEEN) ratings += 1;
    if (ratings < 2) return;
    for (const row of rows) {
      const value = foot(table.seen[row]!);
      if (value === UNSEEN) continue;
      this.#unit.push(this.#units);
      this.#rater.push(raterOf(table, row));
      this.#class.push(value);
    }
    this.#units += 1;
  }

  alpha(raterCount: number): Agreement['alpha'] {
    const { estimate, units, raters } = krippendorffAlpha({
      unit: this.#unit.values(),
      rater: this.#rater.values(),
      class: this.#class.values(),
      unitCount: this.#units,
      raterCount,
      classCount: FEET,
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
  const pairs = new Map<number, CommonFeet>();
  const shared = new SharedFeet();
  const { rows } = used;
  let to = 0;
  while (to < rows.length) {
    const from = to;
    const first = rows[from]!;
    // Within one bib and checkpoint the rows are sorted by rater, rulings last.
    let raters = from;
    while (
      to < rows.length &&
      table.bib[rows[to]!] === table.bib[first] &&
      table.checkpoint[rows[to]!] === table.checkpoint[first]
    ) {
      if (methodOf(table.seen[rows[to]!]!) !== RULING) raters = to + 1;
      to += 1;
    }
    if (raters - from < 2) continue;
    const together = rows.subarray(from, raters);
    shared.add(together, leftOf, table);
    shared.add(together, rightOf, table);
    for (let i = 0; i < together.length; i += 1) {
      for (let j = i + 1; j < together.length; j += 1) addMeeting(pairs, rank, table, together[i]!, together[j]!);
    }
  }
  const found = [...pairs.values()].sort((p, q) => rank[p.a]! - rank[q.a]! || rank[p.b]! - rank[q.b]!);
  return {
    pairs: found.flatMap((pair) => pair.figures(names, level) ?? []),
    alpha: shared.alpha(names.length),
  };
}

function addMeeting(
  pairs: Map<number, CommonFeet>,
  rank: Int32Array,
  table: SightingTable,
  row: number,
  other: number,
): void {
  const inOrder = rank[raterOf(table, row)]! < rank[raterOf(table, other)]!;
  const [rowA, rowB] = inOrder ? [row, other] : [other, row];
  const [a, b] = [raterOf(table, rowA), raterOf(table, rowB)];
  const key = a * rank.length + b;
  let pair = pairs.get(key);
  if (!pair) {
    pair = new CommonFeet(a, b);
    pairs.set(key, pair);
  }
  pair.add(table.seen[rowA]!, table.seen[rowB]!);
}
