import { slipProbability, USUAL_ERRORS, type ErrorTable, type Slip } from './error-table.ts';

/** A sighting whose bib is on no list, with who may have been meant. */
export interface Unexplained {
  /** Weights without the probability of the slips. */
  readonly ways: readonly { readonly slips: readonly Slip[]; readonly weight: number }[];
  /** Weight of all else, on the same scale. */
  readonly rest: number;
}

/** Common practice, no source: how much the usual table counts beside what the race shows, in misreadings. */
const LEARN = {
  /** For each character that is misread. */
  perCharacter: 3,
  /** For the kinds of slip together. */
  kinds: 20,
  rounds: 12,
} as const;

type Kind = Slip['kind'];
const KINDS: readonly Kind[] = ['character', 'swapped', 'dropped', 'added'];

/**
 * What the observers of a race take for what, learnt from its own sightings: those on no list are nearly all misread, and
 * who was meant follows from times and from who is missing. Expectation and maximisation by turns, with the usual table as
 * so many misreadings seen before (Dempster, Laird and Rubin, Journal of the Royal Statistical Society B, 1977).
 *
 * @param settled the slips of each misreading that was put right, which count as seen for sure
 */
export function learnErrors(
  unexplained: readonly Unexplained[],
  settled: readonly (readonly Slip[])[],
  usual: ErrorTable = USUAL_ERRORS,
): ErrorTable {
  const certain = settled
    .filter((slips) => slips.length > 0)
    .map((slips) => ({ ways: [{ slips, weight: 1 }], rest: 0 }));
  const all = [...unexplained, ...certain];
  let table = usual;
  for (let round = 0; round < LEARN.rounds && all.length > 0; round += 1)
    table = maximised(expected(all, table), usual);
  return table;
}

interface Counts {
  readonly kinds: Map<Kind, number>;
  /** By what was shown, how often it was taken for what. */
  readonly taken: Map<string, Map<string, number>>;
}

function expected(all: readonly Unexplained[], table: ErrorTable): Counts {
  const counts: Counts = { kinds: new Map(), taken: new Map() };
  for (const { ways, rest } of all) {
    const weights = ways.flatMap(({ slips, weight }) =>
      slips.map((slip) => ({ slip, weight: weight * slipProbability(table, slip) })),
    );
    const total = weights.reduce((sum, { weight }) => sum + weight, rest);
    if (total > 0) for (const { slip, weight } of weights) count(counts, slip, weight / total);
  }
  return counts;
}

function count({ kinds, taken }: Counts, { kind, shown, read }: Slip, share: number): void {
  kinds.set(kind, (kinds.get(kind) ?? 0) + share);
  if (kind !== 'character' || shown === undefined || read === undefined) return;
  const row = taken.get(shown) ?? new Map<string, number>();
  taken.set(shown, row.set(read, (row.get(read) ?? 0) + share));
}

function maximised({ kinds, taken }: Counts, usual: ErrorTable): ErrorTable {
  const single = KINDS.reduce((sum, kind) => sum + usual.shares[kind], 0);
  const seen = KINDS.reduce((sum, kind) => sum + (kinds.get(kind) ?? 0), 0);
  const share = (kind: Kind): number =>
    (single * ((kinds.get(kind) ?? 0) + (LEARN.kinds * usual.shares[kind]) / single)) / (seen + LEARN.kinds);
  const rows = new Map(
    [...taken].map(([shown, row]) => [shown, { row, sum: [...row.values()].reduce((sum, n) => sum + n, 0) }]),
  );
  return {
    shares: {
      character: share('character'),
      swapped: share('swapped'),
      dropped: share('dropped'),
      added: share('added'),
      zeros: usual.shares.zeros,
    },
    taken: (shown, read) => {
      const known = rows.get(shown);
      const before = usual.taken(shown, read);
      if (!known) return before;
      return ((known.row.get(read) ?? 0) + LEARN.perCharacter * before) / (known.sum + LEARN.perCharacter);
    },
  };
}
