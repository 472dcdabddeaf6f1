// Reads the races of a season and pools them off the page: two hundred races must not hold up a tap.
import { earlyAndLate, type WrongCheckpoint } from '../../race/early-and-late.ts';
import { correctedRace, type CorrectedRace } from '../../findings/pool/corrected-races.ts';
import { countsOfRace } from '../../findings/pool/counts-of-race.ts';
import { poolRaces } from '../../findings/pool/pool-races.ts';
import { raceCountsOf, type RaceCounts } from '../../findings/pool/race-counts.ts';
import { readFindings } from '../../findings/pool/read-findings.ts';
import { RunnersOverRacesCounter, type CodedRace } from '../../findings/pool/runners-over-races.ts';
import { seenAtRaces } from '../../findings/pool/seen-at-races.ts';
import { resolveRace } from '../../findings/resolved-race.ts';
import { correctedOf } from '../../findings/sections/corrected/figures.ts';
import { viewOfRace } from '../../sightings/race-view.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { gatherRecords } from '../../store/records/record-batches.ts';
import type { StoredPractice } from '../../store/practice-sessions.ts';
import { storeOfPage } from '../store-door/store-of-page.ts';
import { practiceInUse } from '../findings/choices/practice-in-use.ts';
import type { SeasonFailure, SeasonReply, SeasonRequest, SeasonSource } from './season-messages.ts';

/** A thousand people over two hundred races in one message would hold up the page that takes it. */
const CELLS_A_MESSAGE = 2000;

const { store } = storeOfPage();
/** The practice kept on this device, read once for all races of an answer. */
let practiced: Promise<StoredPractice[]> = Promise.resolve([]);
const reply = (message: SeasonReply): void => postMessage(message);

interface ReadRace {
  readonly counts: RaceCounts;
  /** Of a race on this device. */
  readonly coded: CodedRace | null;
  readonly corrected: CorrectedRace | null;
}

/** What is wrong with a race, for its reader. */
class Unreadable extends Error {}

type DeviceSource = Extract<SeasonSource, { kind: 'device' }>;

async function readDeviceRace(
  { raceId, name, places }: DeviceSource,
  { level, singleFoot }: SeasonRequest,
): Promise<ReadRace> {
  const stored = await store.findRace(raceId);
  if (!stored) throw new Unreadable('it is no longer on this device');
  const table = tableOfRecords(viewOfRace(stored.race, await gatherRecords(store, raceId)));
  if (table.size === 0) throw new Unreadable('it has no sighting');
  const race = resolveRace(table, singleFoot);
  const codeOfBib = new Map<string, string>();
  for (const { rows } of [await store.loadStartList(raceId), await store.loadResults(raceId)]) {
    for (const { bib, runner } of rows) if (runner !== undefined) codeOfBib.set(bib, runner);
  }
  const chosen = earlyAndLate(table.checkpoints, places);
  if (!chosen.ok) throw new Unreadable(wrongPlaces(chosen.error));
  const { early, late } = chosen.value;
  const practice = practiceInUse(await store.loadPracticeChoice(raceId), await practiced, table.observers);
  const { corrected } = correctedOf(race, practice.answers, { early, late, level, singleFoot });
  return {
    counts: countsOfRace(name, race, early, late, level, { race: stored.race }),
    coded: { race, codeOfBib, shift: early === late ? null : { early, late } },
    corrected: correctedRace(name, corrected),
  };
}

const wrongPlaces = (wrong: WrongCheckpoint): string =>
  wrong.type === 'same-checkpoint'
    ? `early and late are both ${wrong.name}`
    : `nobody was sighted at its ${wrong.option} checkpoint ${wrong.name}`;

async function readFile(name: string, file: File): Promise<ReadRace> {
  const read = readFindings(await file.text());
  if (!read.ok) throw new Unreadable(read.error.faults.slice(0, 3).join('; '));
  return { counts: raceCountsOf(name, read.value), coded: null, corrected: null };
}

const readSource = (source: SeasonSource, request: SeasonRequest): Promise<ReadRace> =>
  source.kind === 'device' ? readDeviceRace(source, request) : readFile(source.name, source.file);

async function answer(request: SeasonRequest): Promise<void> {
  const { id, sources, level } = request;
  const races: RaceCounts[] = [];
  const coded: CodedRace[] = [];
  const corrected: CorrectedRace[] = [];
  practiced = store.listPractice();
  const deviceRaces: string[] = [];
  const failures: SeasonFailure[] = [];
  const people = new RunnersOverRacesCounter();
  for (const [done, source] of sources.entries()) {
    reply({ id, kind: 'progress', done, total: sources.length, name: source.name });
    try {
      const read = await readSource(source, request);
      races.push(read.counts);
      if (read.corrected) corrected.push(read.corrected);
      if (!read.coded) continue;
      people.add(read.coded);
      coded.push(read.coded);
      deviceRaces.push(source.name);
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      failures.push({ name: source.name, why });
    }
  }
  // Findings files hold no runner: people are followed over the races on this device alone.
  const found = coded.length > 0 ? people.found(level) : null;
  const pooled = races.length > 0 ? poolRaces(races, found, level) : null;
  const seen = seenAtRaces(coded);
  const most = Math.max(1, Math.floor(CELLS_A_MESSAGE / Math.max(1, deviceRaces.length)));
  reply({
    id,
    kind: 'season',
    result: { pooled, level, deviceRaces, corrected, people: seen.slice(0, most), peopleCount: seen.length, failures },
  });
  for (let from = most; from < seen.length; from += most) {
    reply({ id, kind: 'people', people: seen.slice(from, from + most) });
  }
}

// One after the other: a second request must not read while the first one computes.
let last: Promise<void> = Promise.resolve();
onmessage = (event: MessageEvent<SeasonRequest>) => {
  const request = event.data;
  last = last.then(() =>
    answer(request).catch((error: unknown) => {
      const message = error instanceof Error ? error.message : String(error);
      reply({ id: request.id, kind: 'failed', message });
    }),
  );
};
