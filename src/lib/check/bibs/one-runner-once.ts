/** One thing to explain, with who may explain it. */
export interface Explained<Way extends { readonly bib: number; readonly weight: number }> {
  readonly ways: readonly Way[];
  /** Weight of everything else. */
  readonly rest: number;
  /** Among those with the same mark a runner can explain one only. */
  readonly among: string;
}

const ROUNDS = 6;
/** A runner may be there twice all the same, entered again. */
const TWICE = 0.02;

/**
 * The ways with their weights lowered as far as others need the same runner: an observer sees a runner pass once, so who
 * explains one misreading hardly explains another. The chance that the runner is free is taken by turns from what is
 * likely of the others (mean field). Linear in the ways.
 */
export function oneRunnerOnce<Way extends { readonly bib: number; readonly weight: number }>(
  all: readonly Explained<Way>[],
): Way[][] {
  const rivals = new Map<string, { one: number; way: number }[]>();
  all.forEach(({ ways, among }, one) =>
    ways.forEach(({ bib }, way) => {
      const key = `${among}\n${bib}`;
      const group = rivals.get(key);
      if (group) group.push({ one, way });
      else rivals.set(key, [{ one, way }]);
    }),
  );
  const contested = [...rivals.values()].filter((group) => group.length > 1);
  const weights = all.map(({ ways }) => ways.map(({ weight }) => weight));
  for (let round = 0; round < ROUNDS && contested.length > 0; round += 1) {
    const totals = weights.map((own, one) => own.reduce((sum, weight) => sum + weight, all[one]!.rest));
    const lowered = contested.map((group) => {
      const shares = group.map(({ one, way }) => (totals[one]! > 0 ? weights[one]![way]! / totals[one]! : 0));
      return group.map((_, n) => shares.reduce((free, share, m) => (m === n ? free : free * (1 - share)), 1));
    });
    contested.forEach((group, g) =>
      group.forEach(({ one, way }, n) => {
        weights[one]![way] = all[one]!.ways[way]!.weight * Math.max(TWICE, lowered[g]![n]!);
      }),
    );
  }
  return all.map(({ ways }, one) => ways.map((way, n) => ({ ...way, weight: weights[one]![n]! })));
}
