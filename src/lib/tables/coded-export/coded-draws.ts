import { compareCodePoints } from '../../records/code-point-order.ts';
import type { RunnerClass } from '../../records/foot.ts';
import { coarseInstant, type CoarseningStep, type KeptColumns } from './coarsening-steps.ts';

interface Draw {
  readonly checkpoint: string;
  readonly seed: number | null;
  readonly drawnAt: string;
  readonly runners: readonly { readonly bib: string; readonly live: RunnerClass }[];
}

/**
 * Draws as an export with codes tells them: bibs replaced, times coarsened, runners in the order of their codes and the
 * seed left out. A seed and the order of review would give each drawn runner's place among the bibs of one class.
 */
export function codedDraws(
  draws: readonly Draw[],
  codeOf: (bib: string) => string,
  step: CoarseningStep,
  kept: KeptColumns,
): Draw[] {
  return draws.map(({ checkpoint, drawnAt, runners }) => ({
    checkpoint,
    seed: null,
    drawnAt: coarseInstant(drawnAt, step, kept),
    runners: runners
      .map(({ bib, live }) => ({ bib: codeOf(bib), live }))
      .sort((a, b) => compareCodePoints(a.bib, b.bib)),
  }));
}
