import type { Withdrawal } from './record.ts';

export interface WithdrawnRecords {
  /** For each id that is withdrawn, the ids of the withdrawals in force that target it, in the order they came in. */
  readonly byTarget: ReadonlyMap<string, readonly string[]>;
  /** Withdrawals that target each other in a ring, itself included: they take nothing back. */
  readonly rings: readonly string[];
}

/**
 * Works out which withdrawals are in force.
 *
 * A withdrawal is in force unless a withdrawal in force targets it. Each withdrawal has one target, so that following
 * targets from any of them leads either to a record that is no withdrawal or into a ring. Whether a withdrawal outside
 * every ring is in force depends only on those that lead to it, which end in withdrawals nobody targets: they are worked
 * through from there inwards. What is left over stands on a ring and is void: it takes nothing back, and since a ring's
 * members target only each other, no record outside the ring depends on it.
 *
 * @param withdrawals each id once
 */
export function withdrawnRecords(withdrawals: readonly Withdrawal[]): WithdrawnRecords {
  const byId = new Map(withdrawals.map((w) => [w.id, w]));
  const undecidedSources = new Map<string, number>();
  for (const { target } of withdrawals) {
    if (byId.has(target)) undecidedSources.set(target, (undecidedSources.get(target) ?? 0) + 1);
  }
  const byTarget = new Map<string, string[]>();
  const decided = withdrawals.filter((w) => !undecidedSources.has(w.id));
  for (let next = 0; next < decided.length; next += 1) {
    const { id, target } = decided[next] as Withdrawal;
    if (!byTarget.has(id)) {
      const inForce = byTarget.get(target);
      if (inForce) inForce.push(id);
      else byTarget.set(target, [id]);
    }
    const sources = undecidedSources.get(target);
    if (sources === undefined) continue;
    undecidedSources.set(target, sources - 1);
    if (sources === 1) decided.push(byId.get(target) as Withdrawal);
  }
  const rings = decided.length === withdrawals.length ? [] : onRings(withdrawals, decided);
  return { byTarget, rings };
}

function onRings(withdrawals: readonly Withdrawal[], decided: readonly Withdrawal[]): string[] {
  const outside = new Set(decided.map((w) => w.id));
  return withdrawals.filter((w) => !outside.has(w.id)).map((w) => w.id);
}
