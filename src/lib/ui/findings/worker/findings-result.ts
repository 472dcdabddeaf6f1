import type { PassageTable } from '../../../clips/passage.ts';
import { analyseRace } from '../../../findings/analyse.ts';
import { defaultPlaces, earlyAndLate } from '../../../race/early-and-late.ts';
import type { RaceInFocus } from '../../../findings/race-in-focus.ts';
import { dueCoverage } from '../../../findings/sections/coverage/due-coverage.ts';
import { plannedAgainstGot } from '../../../findings/sections/coverage/planned.ts';
import { supplementOf } from '../../../findings/supplement.ts';
import type { ExpectedRunners } from '../../../plan/kept-plan.ts';
import type { Race, ResultRow, StartListRow } from '../../../race/race.ts';
import type { SightingTable } from '../../../sightings/sighting-table.ts';
import type { FindingsChoices, FindingsResult } from './findings-messages.ts';
import { practiceSummary, type PracticeInUse } from '../choices/practice-in-use.ts';

/** A race as its tables tell it. */
export interface FindingsSource {
  readonly stored: { readonly id: string; readonly race: Race; readonly demo?: boolean | undefined };
  readonly table: SightingTable;
  /** Passages through clips; `null` without a mark. */
  readonly marks: PassageTable | null;
  readonly offCourse: number;
  readonly results: readonly ResultRow[] | null;
  readonly startList: readonly StartListRow[];
  /** `null` where practice is not asked for. */
  readonly practice: PracticeInUse | null;
  /** What the plan kept with the race expects; `null` without one. */
  readonly expected: ExpectedRunners | null;
}

/** Findings with what squads are computed from. */
export interface ComputedFindings extends RaceInFocus {
  readonly result: FindingsResult;
}

function teamsOf(startList: readonly StartListRow[]): FindingsResult['teams'] {
  const teams = new Map<string, number>();
  for (const { team } of startList) if (team) teams.set(team, (teams.get(team) ?? 0) + 1);
  return [...teams].map(([name, runners]) => ({ name, runners })).sort((a, b) => a.name.localeCompare(b.name, 'en'));
}

/** The findings of a race with all that a screen or a picture needs beside them. */
export function findingsResult(source: FindingsSource, choices: FindingsChoices): ComputedFindings {
  const { table, results, stored } = source;
  const level = choices.level ?? 0.95;
  const singleFoot = choices.singleFoot ?? 'exclude';
  const last = table.checkpoints.length - 1;
  // A choice made before the set-up changed may name what is no more.
  const chosen = earlyAndLate(table.checkpoints, choices);
  const { early, late } = chosen.ok ? chosen.value : defaultPlaces(table.checkpoints);
  const names =
    table.checkpoints.length > 1 ? { early: table.checkpoints[early]!.name, late: table.checkpoints[late]!.name } : {};
  const practice = source.practice?.answers ?? undefined;
  const analysed = analyseRace(table, results, { ...names, level, singleFoot, marks: source.marks, practice });
  const { findings, race, field } = analysed;
  const focus = { race, field, early, late, level };
  const sides = new Map(
    (stored.race.observers ?? []).map((post) => [
      `${post.code}\u0000${stored.race.checkpoints.find((one) => one.id === post.checkpoint)?.name ?? ''}`,
      post.side,
    ]),
  );
  const result = {
    race: stored.race,
    demo: stored.demo ?? false,
    findings,
    supplement:
      last < 0 ? null : supplementOf(focus, (observer, checkpoint) => sides.get(`${observer}\u0000${checkpoint}`)),
    focus:
      last < 0
        ? []
        : early === late
          ? [table.checkpoints[early]!.name]
          : [table.checkpoints[early]!.name, table.checkpoints[late]!.name],
    level,
    singleFoot,
    checkpoints: table.checkpoints,
    offCourse: source.offCourse,
    validation: [],
    practice: source.practice && practiceSummary(source.practice),
    teams: teamsOf(source.startList),
    due: dueCoverage(race, field, stored.race.samplingRule),
    planned: plannedAgainstGot(findings, source.expected),
    tookMs: 0,
  };
  return { result, ...focus };
}
