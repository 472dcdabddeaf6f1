import type { CheckInput } from '../../lib/check/input/check-input.ts';
import type { Doubt } from '../../lib/check/doubt.ts';

/** The doubts as `kerbside check --json` prints them. */
export function doubtsJson(doubts: readonly Doubt[], { checkpoints }: Pick<CheckInput, 'checkpoints'>): string {
  const printed = doubts.map(({ kind, checkpoint, bib, records, candidates }) => ({
    kind,
    checkpoint: checkpoint === null ? null : checkpoints[checkpoint]!.name,
    bib,
    records,
    candidates: byBib(candidates),
  }));
  return `${JSON.stringify({ doubts: printed }, null, 2)}\n`;
}

/** One candidate a bib, whichever of the records it would be. */
export function byBib(candidates: Doubt['candidates']): { bib: string; probability: number }[] {
  const sums = new Map<string, number>();
  for (const { bib, probability } of candidates) sums.set(bib, (sums.get(bib) ?? 0) + probability);
  return [...sums]
    .map(([bib, probability]) => ({ bib, probability: Math.min(1, probability) }))
    .sort((a, b) => b.probability - a.probability);
}
