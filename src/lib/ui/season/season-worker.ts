// Reads the races of a season and pools them off the page: two hundred races must not hold up a tap.
import { countsOfRace } from '../../findings/pool/counts-of-race.ts';
import { poolRaces } from '../../findings/pool/pool-races.ts';
import { raceCountsOf, type RaceCounts } from '../../findings/pool/race-counts.ts';
import { readFindings } from '../../findings/pool/read-findings.ts';
import { RunnersOverRacesCounter, type CodedRace } from '../../findings/pool/runners-over-races.ts';
import { seenAtRaces } from '../../findings/pool/seen-at-races.ts';
import { resolveRace } from '../../findings/resolved-race.ts';
import { viewOfRace } from '../../sightings/race-view.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { KerbsideDatabase } from '../../store/database.ts';
import { findRace, loadResults, loadStartList } from '../../store/races.ts';
import { allRecords } from '../../store/records.ts';
import type { SeasonFailure, SeasonReply, SeasonRequest, SeasonSource } from './season-messages.ts';

const db = new KerbsideDatabase();
const reply = (message: SeasonReply): void => postMessage(message);

interface ReadRace {
  readonly counts: RaceCounts;
  /** Of a race on this device. */
  readonly coded: CodedRace | null;
}

/** What is wrong with a race, for its reader. */
class Unreadable extends Error {}

async function readDeviceRace(raceId: string, name: string, level: number): Promise<ReadRace> {
  const stored = await findRace(db, raceId);
  if (!stored) throw new Unreadable('it is no longer on this device');
  const table = tableOfRecords(viewOfRace(stored.race, await allRecords(db, raceId)));
  if (table.size === 0) throw new Unreadable('it has no sighting');
  const race = resolveRace(table, 'exclude');
  const codeOfBib = new Map<string, string>();
  for (const { rows } of [await loadStartList(db, raceId), await loadResults(db, raceId)]) {
    for (const { bib, runner } of rows) if (runner !== undefined) codeOfBib.set(bib, runner);
  }
  const late = table.checkpoints.length - 1;
  const shift = late > 0 ? { early: 0, late } : null;
  return { counts: countsOfRace(name, race, 0, late, level), coded: { race, codeOfBib, shift } };
}

async function readFile(name: string, file: File): Promise<ReadRace> {
  const read = readFindings(await file.text());
  if (!read.ok) throw new Unreadable(read.error.faults.slice(0, 3).join('; '));
  return { counts: raceCountsOf(name, read.value), coded: null };
}

const readSource = (source: SeasonSource, level: number): Promise<ReadRace> =>
  source.kind === 'device' ? readDeviceRace(source.raceId, source.name, level) : readFile(source.name, source.file);

async function answer({ id, sources, level }: SeasonRequest): Promise<void> {
  const races: RaceCounts[] = [];
  const coded: CodedRace[] = [];
  const deviceRaces: string[] = [];
  const failures: SeasonFailure[] = [];
  const people = new RunnersOverRacesCounter();
  for (const [done, source] of sources.entries()) {
    reply({ id, kind: 'progress', done, total: sources.length, name: source.name });
    try {
      const read = await readSource(source, level);
      races.push(read.counts);
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
  reply({
    id,
    kind: 'season',
    result: { pooled, level, deviceRaces, people: seenAtRaces(coded), failures },
  });
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
