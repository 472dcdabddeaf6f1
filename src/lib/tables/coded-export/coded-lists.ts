import type { ResultRow, StartListRow } from '../../race/race.ts';
import { coarseAge, coarseFinish, coarseInstant, type CoarseningStep, type KeptColumns } from './coarsening-steps.ts';

export interface RaceLists {
  readonly startList: readonly StartListRow[];
  readonly results: readonly ResultRow[];
}

export interface Codes {
  readonly ofBib: (bib: string) => string;
  /** For the club's own code of a person. */
  readonly ofRunner: (runner: string) => string;
}

/** What stands for every reason not to have finished: a rare one would single a runner out. */
const NO_FINISH = 'no finish';

/**
 * Both lists as they go into an export with codes: no names, coarsened, what is not kept left out, sorted by code (the
 * order of the rows would else still be that of the bibs or of the finish).
 */
export function codedLists(
  { startList, results }: RaceLists,
  codes: Codes,
  step: CoarseningStep,
  kept: KeptColumns,
): RaceLists {
  return {
    startList: byCode(
      startList.map(({ bib, runner, sex, age, team, start }) => ({
        bib: codes.ofBib(bib),
        ...(runner === undefined ? {} : { runner: codes.ofRunner(runner) }),
        ...common(sex, age, step),
        ...(team === undefined || !kept.team ? {} : { team }),
        ...(start === undefined || !kept.start
          ? {}
          : { start: coarseInstant(start, step, { ...kept, placeTimes: true }) }),
      })),
    ),
    results: byCode(
      results.map(({ bib, runner, finish, sex, age, status }) => ({
        bib: codes.ofBib(bib),
        ...(runner === undefined ? {} : { runner: codes.ofRunner(runner) }),
        ...(finish === undefined ? {} : { finish: coarseFinish(finish, step) }),
        ...common(sex, age, step),
        ...(finish === undefined && status !== undefined ? { status: NO_FINISH } : {}),
      })),
    ),
  };
}

function common(
  sex: string | undefined,
  age: number | undefined,
  step: CoarseningStep,
): { sex?: string; age?: number } {
  const years = coarseAge(age, step);
  return { ...(sex === undefined || !step.sex ? {} : { sex }), ...(years === undefined ? {} : { age: years }) };
}

const byCode = <Row extends { bib: string }>(rows: Row[]): Row[] => rows.sort((a, b) => (a.bib < b.bib ? -1 : 1));
