// Reads a race's records and computes its findings off the page: a million sightings must not hold up one tap.
import type { PassageTable } from '../../clips/passage.ts';
import { passagesOfRace } from '../../clips/passages-of-race.ts';
import type { KeptPlan } from '../../plan/kept-plan.ts';
import type { ResultRow, StartListRow } from '../../race/race.ts';
import type { TallyRecord } from '../../records/record.ts';
import { viewOfRace } from '../../sightings/race-view.ts';
import type { SightingTable } from '../../sightings/sighting-table.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { analyse } from '../../findings/analyse.ts';
import { defaultPlaces, earlyAndLate } from '../../findings/early-and-late.ts';
import { fieldOf, type Field } from '../../findings/field.ts';
import { resolveRace, type ResolvedRace } from '../../findings/resolved-race.ts';
import { dueCoverage } from '../../findings/sections/coverage/due-coverage.ts';
import { plannedAgainstGot } from '../../findings/sections/coverage/planned.ts';
import {
  drawValidation,
  validationStates,
  type ValidationDraw,
  type ValidationState,
} from '../../findings/sections/corrected/validation-draw.ts';
import { squadOf } from '../../findings/sections/squad/figures.ts';
import { supplementOf } from '../../findings/supplement.ts';
import { KerbsideDatabase, type StoredRace } from '../../store/database.ts';
import { loadPlan } from '../../store/plans.ts';
import { findRace, loadResults, loadStartList } from '../../store/races.ts';
import { addValidationDraw, loadValidationDraws } from '../../store/validation-draws.ts';
import { recordCounts } from '../../store/record-counters.ts';
import { eachRecordBatch } from '../../store/records.ts';
import type {
  FindingsChoices,
  FindingsReply,
  FindingsRequest,
  FindingsResult,
  SquadRequest,
  SquadResult,
} from './findings-messages.ts';

/** A race as read, kept for the next choice of checkpoints. */
interface Held {
  readonly stored: StoredRace;
  readonly table: SightingTable;
  /** Passages through clips; `null` without a mark. */
  readonly marks: PassageTable | null;
  readonly offCourse: number;
  readonly results: readonly ResultRow[] | null;
  readonly startList: readonly StartListRow[];
  /** What the plan of the race promised; `null` without one. */
  readonly expected: KeptPlan['expected'];
}

/** What the last findings were computed from, for the squads. */
interface Shown {
  readonly held: Held;
  readonly race: ResolvedRace;
  readonly field: Field | null;
  readonly early: number;
  readonly late: number;
  readonly level: number;
}

const db = new KerbsideDatabase();
let held: Held | null = null;
let shown: Shown | null = null;

const reply = (message: FindingsReply): void => postMessage(message);

async function read(id: number, raceId: string): Promise<Held> {
  const stored = await findRace(db, raceId);
  if (!stored) throw new Error('This race is not on this device.');
  const counts = await recordCounts(db, raceId);
  const total = counts.lastSeq + counts.pulled;
  const records: TallyRecord[] = [];
  let told = 0;
  await eachRecordBatch(db, raceId, (batch) => {
    for (const record of batch) records.push(record);
    if (records.length - told < 5000) return;
    told = records.length;
    reply({ id, kind: 'progress', progress: { stage: 'reading', done: told, total: Math.max(total, told) } });
  });
  reply({ id, kind: 'progress', progress: { stage: 'resolving', done: records.length, total: records.length } });
  const view = viewOfRace(stored.race, records);
  const results = (await loadResults(db, raceId)).rows;
  return {
    stored,
    table: tableOfRecords(view),
    marks: view.projection.marks.length > 0 ? passagesOfRace(view).table : null,
    offCourse: view.offCourse.length,
    results: results.length > 0 ? results : null,
    startList: (await loadStartList(db, raceId)).rows,
    expected: (await loadPlan(db, raceId))?.expected ?? null,
  };
}

function teamsOf(startList: readonly StartListRow[]): FindingsResult['teams'] {
  const teams = new Map<string, number>();
  for (const { team } of startList) if (team) teams.set(team, (teams.get(team) ?? 0) + 1);
  return [...teams].map(([name, runners]) => ({ name, runners })).sort((a, b) => a.name.localeCompare(b.name, 'en'));
}

function compute(
  source: Held,
  choices: FindingsChoices,
  draws: readonly ValidationDraw[],
  startedMs: number,
): FindingsResult {
  const { table, results, stored } = source;
  const level = choices.level ?? 0.95;
  const singleFoot = choices.singleFoot ?? 'exclude';
  const last = table.checkpoints.length - 1;
  // A choice made before the set-up changed may name what is no more.
  const chosen = earlyAndLate(table.checkpoints, choices);
  const { early, late } = chosen.ok ? chosen.value : defaultPlaces(table.checkpoints);
  const names =
    table.checkpoints.length > 1 ? { early: table.checkpoints[early]!.name, late: table.checkpoints[late]!.name } : {};
  const findings = analyse(table, results, { ...names, level, singleFoot, marks: source.marks });
  const race = resolveRace(table, singleFoot);
  const field = results && fieldOf(results, table.bibs);
  const sides = new Map(
    (stored.race.observers ?? []).map((post) => [
      `${post.code}\u0000${stored.race.checkpoints.find((one) => one.id === post.checkpoint)?.name ?? ''}`,
      post.side,
    ]),
  );
  shown = { held: source, race, field, early, late, level };
  return {
    race: stored.race,
    demo: stored.demo ?? false,
    findings,
    supplement:
      last < 0
        ? null
        : supplementOf(race, field, early, late, level, (observer, checkpoint) =>
            sides.get(`${observer}\u0000${checkpoint}`),
          ),
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
    validation: statesOf(shown, draws),
    teams: teamsOf(source.startList),
    due: dueCoverage(race, field, stored.race.samplingRule),
    planned: plannedAgainstGot(findings, source.expected),
    tookMs: performance.now() - startedMs,
  };
}

function statesOf({ race, early, late }: Shown, draws: readonly ValidationDraw[]): ValidationState[] {
  if (race.table.checkpoints.length === 0) return [];
  return validationStates(race, draws, early === late ? [early] : [early, late]);
}

/** Draws the runners to review at a checkpoint and keeps the draw with the race. */
async function draw(checkpoint: string, seed: number, drawnAt: string): Promise<readonly ValidationState[]> {
  const place = shown?.race.table.checkpoints.findIndex(({ name }) => name === checkpoint) ?? -1;
  if (!shown || place < 0) throw new Error(`there is no sighting at ${checkpoint}`);
  const runners = drawValidation(shown.race, place, seed);
  const draws = await addValidationDraw(db, shown.held.stored.id, { checkpoint, seed, drawnAt, runners });
  return statesOf(shown, draws);
}

function squad({ team, bibs }: SquadRequest): SquadResult | null {
  if (!shown || shown.held.table.checkpoints.length === 0) return null;
  const members = new Set(bibs);
  if (team !== null) for (const row of shown.held.startList) if (row.team === team) members.add(row.bib);
  if (members.size === 0) return null;
  const rows = shown.held.startList.filter((row) => members.has(row.bib));
  return {
    squad: squadOf(shown.race, shown.field, [...members], shown.early, shown.late, shown.level),
    names: Object.fromEntries(rows.flatMap((row) => (row.name ? [[row.bib, row.name]] : []))),
    starts: Object.fromEntries(rows.flatMap((row) => (row.start ? [[row.bib, Date.parse(row.start)]] : []))),
  };
}

async function answer(request: FindingsRequest): Promise<void> {
  const { id } = request;
  if (request.kind === 'squad') {
    reply({ id, kind: 'squad', result: squad(request.squad) });
    return;
  }
  if (request.kind === 'draw') {
    reply({ id, kind: 'validation', states: await draw(request.checkpoint, request.seed, request.drawnAt) });
    return;
  }
  const startedMs = performance.now();
  if (request.fresh || held?.stored.id !== request.raceId) held = await read(id, request.raceId);
  reply({ id, kind: 'progress', progress: { stage: 'computing', done: held.table.size, total: held.table.size } });
  const draws = await loadValidationDraws(db, request.raceId);
  reply({ id, kind: 'findings', result: compute(held, request.choices, draws, startedMs) });
}

// One after the other: a second request must not read while the first one computes.
let last: Promise<void> = Promise.resolve();
onmessage = (event: MessageEvent<FindingsRequest>) => {
  const request = event.data;
  last = last.then(() =>
    answer(request).catch((error: unknown) => {
      reply({ id: request.id, kind: 'failed', message: error instanceof Error ? error.message : String(error) });
    }),
  );
};
