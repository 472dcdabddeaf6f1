import type { RunnerClass } from '../../../records/foot.ts';
import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Corrected, CorrectedChange, CorrectedShare } from './corrected.ts';

/** What sentences and pictures speak of at one checkpoint. */
export interface BasisCheckpoint {
  readonly checkpoint: string;
  readonly km: number;
  /** Runners that the share is of. */
  readonly runners: number;
  readonly classes: Record<RunnerClass, CorrectedShare>;
}

/** Which slip is the commonest, and how many in all. */
export interface MisreadShare {
  /** Share of the runners who were read as another class than they are. */
  readonly share: number;
  /** The commonest one: class and what it was read as; `null` where nobody was misread. */
  readonly commonest: { readonly truth: RunnerClass; readonly readAs: RunnerClass } | null;
}

/** The one correction that sentences and pictures use: validation where it is there, since it rests on less. */
export interface CorrectionBasis {
  readonly kind: 'validation' | 'practice';
  readonly checkpoints: readonly BasisCheckpoint[];
  readonly difference: {
    readonly early: string;
    readonly late: string;
    readonly paired: number;
    readonly observed: Pick<CorrectedChange, 'early' | 'late' | 'difference'>;
    readonly corrected: CorrectedChange;
  } | null;
  /** Over all checkpoints with an estimate; `null` without one. */
  readonly misreadings: MisreadShare | null;
}

/** True class by class read, in runners. */
type Slips = number[][];

const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0);
const noSlips = (): Slips => RUNNER_CLASSES.map(() => RUNNER_CLASSES.map(() => 0));

export function correctionBasis(corrected: Corrected | null): CorrectionBasis | null {
  if (!corrected) return null;
  const { validation, practice } = corrected;
  const slips = noSlips();
  if (validation) {
    for (const at of validation.checkpoints) {
      if (at.classes.rearfoot.share === null) continue;
      at.table.forEach((row, read) => {
        const ofClass = (at.classes[RUNNER_CLASSES[read]!].observed ?? 0) * at.live;
        const validated = sum(row);
        if (validated > 0) row.forEach((count, truth) => (slips[truth]![read]! += (ofClass * count) / validated));
      });
    }
    return {
      kind: 'validation',
      checkpoints: validation.checkpoints.map(({ checkpoint, km, live, classes }) => ({
        ...{ checkpoint, km, classes },
        runners: live,
      })),
      difference: validation.difference,
      misreadings: misreadingsIn(slips),
    };
  }
  if (!practice) return null;
  for (const at of practice.checkpoints) {
    at.matrix?.forEach((row, truth) => {
      const ofClass = (at.classes[RUNNER_CLASSES[truth]!].share ?? 0) * at.runners;
      row.forEach((share, read) => (slips[truth]![read]! += ofClass * share));
    });
  }
  return {
    kind: 'practice',
    checkpoints: practice.checkpoints,
    difference: practice.difference,
    misreadings: misreadingsIn(slips),
  };
}

function misreadingsIn(slips: Slips): MisreadShare | null {
  const all = sum(slips.flat());
  if (all === 0) return null;
  let wrong = 0;
  let most = 0;
  let commonest: MisreadShare['commonest'] = null;
  slips.forEach((row, truth) =>
    row.forEach((count, read) => {
      if (truth === read) return;
      wrong += count;
      if (count > most) {
        most = count;
        commonest = { truth: RUNNER_CLASSES[truth]!, readAs: RUNNER_CLASSES[read]! };
      }
    }),
  );
  return { share: wrong / all, commonest };
}
