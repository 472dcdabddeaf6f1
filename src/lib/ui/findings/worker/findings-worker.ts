// Reads a race's records and computes its findings off the page: a million sightings must not hold up one tap.
import { passagesOfRace } from '../../../clips/passages-of-race.ts';
import { viewOfRace } from '../../../sightings/race-view.ts';
import { tableOfGathered } from '../../../sightings/table-of-gathered.ts';
import { tableOfRecords } from '../../../sightings/table-of-records.ts';
import {
  drawValidation,
  validationStates,
  type ValidationDraw,
  type ValidationState,
} from '../../../findings/sections/corrected/validation-draw.ts';
import { findingsResult, type ComputedFindings, type FindingsSource } from './findings-result.ts';
import { storeOfPage } from '../../store-door/store-of-page.ts';
import { gatherRecords } from '../../../store/records/record-batches.ts';
import { gatherRace } from './gather-race.ts';
import { SecondReader } from './second-reader.ts';
import { isSightingOf, runnerFigures } from '../../../findings/sections/gait/runner-figures.ts';
import { squadOf } from '../../../findings/sections/squad/figures.ts';
import { squadGroups } from '../../../findings/sections/squad/groups.ts';
import { practiceInUse } from '../choices/practice-in-use.ts';
import { expectedOf } from '../../../plan/kept-plan.ts';
import { storeFailureWords } from '../../../store/store-failure.ts';
import { drawsOfRace } from '../../../findings/sections/corrected/draws-of-race.ts';
import type {
  DrawRequest,
  FindingsProgress,
  FindingsReply,
  FindingsRequest,
  ReadRequest,
  SquadRequest,
  SquadResult,
} from './findings-messages.ts';

/** A race as read, kept for the next choice of checkpoints. */
interface Held extends FindingsSource {
  /** Earliest first. */
  readonly draws: readonly ValidationDraw[];
}

/** What the last findings were computed from, for the squads. */
interface Shown extends Omit<ComputedFindings, 'result'> {
  readonly held: Held;
}

const { store, secondDoor } = storeOfPage();
const second = new SecondReader(secondDoor);
let held: Held | null = null;
let shown: Shown | null = null;
/** The figures asked for last, whose progress is told. */
let asked = 0;
/** How long the reading took that no figures were computed from yet. */
let readMs = 0;

const reply = (message: FindingsReply): void => postMessage(message);
const tell = (progress: FindingsProgress): void => reply({ id: asked, kind: 'progress', progress });

async function read(raceId: string): Promise<void> {
  held = null;
  const startedMs = performance.now();
  held = await readRace(raceId);
  readMs = performance.now() - startedMs;
}

async function readRace(raceId: string): Promise<Held> {
  // All asked for at once: each by itself waits for the one before it.
  const asking = Promise.all([
    store.findRace(raceId),
    store.loadResults(raceId),
    store.loadStartList(raceId),
    store.loadOldDraws(raceId),
    store.loadPracticeChoice(raceId),
    store.listPractice(),
  ]);
  let total = 0;
  const counting = store.recordCounts(raceId).then(({ lastSeq, pulled }) => (total = lastSeq + pulled));
  const reading = (done: number) => tell({ stage: 'reading', done, total: Math.max(total, done) });
  const [lists, gathered] = await Promise.all([asking, gatherRace(store, second, raceId, reading), counting]);
  const [stored, { rows: results }, { rows: startList }, oldDraws, practised, sessions] = lists;
  if (!stored) throw new Error('This race is not on this device.');
  tell({ stage: 'resolving', done: total, total });
  // Marks belong to sightings, and an id met twice has two contents: both want every record.
  const lean = gathered.others.some(({ kind }) => kind === 'mark') ? null : tableOfGathered(stored.race, gathered);
  const whole = lean ? null : viewOfRace(stored.race, await gatherRecords(store, raceId));
  const view = (lean?.view ?? whole)!;
  const table = lean?.table ?? tableOfRecords(view);
  return {
    stored,
    table,
    marks: view.projection.marks.length > 0 ? passagesOfRace(view).table : null,
    offCourse: lean?.offCourse ?? view.offCourse.length,
    draws: drawsOfRace(view, oldDraws),
    results: results.length > 0 ? results : null,
    startList,
    practice: practiceInUse(practised, sessions, table.observers),
    expected: view.projection.plan && expectedOf(stored.race, view.projection.plan),
  };
}

function statesOf({ race, early, late, held: { draws } }: Shown): ValidationState[] {
  if (race.table.checkpoints.length === 0) return [];
  return validationStates(race, draws, early === late ? [early] : [early, late]);
}

/** Draws the runners to review at a checkpoint and keeps the draw as a record, which goes where the race goes. */
async function draw({ checkpoint, seed, now, observer }: DrawRequest): Promise<readonly ValidationState[]> {
  const place = shown?.race.table.checkpoints.findIndex(({ name }) => name === checkpoint) ?? -1;
  const id = shown?.held.stored.race.checkpoints.find(({ name }) => name === checkpoint)?.id;
  if (!shown || place < 0 || id === undefined) throw new Error(`there is no sighting at ${checkpoint}`);
  const runners = drawValidation(shown.race, place, seed);
  const draft = {
    ...{ kind: 'draw' as const, race: shown.held.stored.id, observer, checkpoint: id, seed },
    bibs: runners.map(({ bib }) => bib),
    live: runners.map(({ live }) => live),
  };
  const kept = await store.addRecord(draft, now);
  if (!kept.ok) throw new Error(storeFailureWords(kept.error));
  const draws = [...shown.held.draws, { checkpoint, seed, drawnAt: kept.value.madeAt, runners }];
  held = { ...shown.held, draws };
  shown = { ...shown, held };
  return statesOf(shown);
}

function squad({ team, bibs }: SquadRequest): SquadResult | null {
  if (!shown || shown.held.table.checkpoints.length === 0) return null;
  const members = new Set(bibs);
  if (team !== null) for (const row of shown.held.startList) if (row.team === team) members.add(row.bib);
  if (members.size === 0) return null;
  const rows = shown.held.startList.filter((row) => members.has(row.bib));
  return {
    squad: squadOf(shown, [...members]),
    groups: squadGroups(shown, [...members]),
    names: Object.fromEntries(rows.flatMap((row) => (row.name ? [[row.bib, row.name]] : []))),
    figures: shown.held.marks ? runnerFigures(shown.held.marks, [...members], isSightingOf(shown.held.table)) : {},
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
    reply({ id, kind: 'validation', states: await draw(request) });
    return;
  }
  if (request.fresh || held?.stored.id !== request.raceId) await read(request.raceId);
  const source = held!;
  const startedMs = performance.now();
  tell({ stage: 'computing', done: source.table.size, total: source.table.size });
  const computed = findingsResult(source, request.choices);
  shown = { held: source, ...computed };
  const validation = statesOf(shown);
  const result = { ...computed.result, validation, tookMs: readMs + performance.now() - startedMs };
  readMs = 0;
  reply({ id, kind: 'findings', result });
}

// One after the other: a second request must not read while the first one computes.
let last: Promise<void> = Promise.resolve();
onmessage = ({ data: request }: MessageEvent<FindingsRequest | ReadRequest>) => {
  if (request.kind === 'read') {
    last = last.then(() => read(request.raceId).catch(() => undefined));
    return;
  }
  if (request.kind === 'compute') asked = request.id;
  last = last.then(() =>
    answer(request).catch((error: unknown) => {
      reply({ id: request.id, kind: 'failed', message: error instanceof Error ? error.message : String(error) });
    }),
  );
};
