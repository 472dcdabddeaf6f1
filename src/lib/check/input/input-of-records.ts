import { passagesOfRace } from '../../clips/passages-of-race.ts';
import type { Race, ResultRow, StartListRow } from '../../race/race.ts';
import type { Projection } from '../../records/projection.ts';
import type { TallyRecord } from '../../records/record.ts';
import { checkpointsByKm } from '../../race/station.ts';
import { entriesOf, type RaceView } from '../../sightings/race-view.ts';
import type { CheckClip, CheckDevice, CheckInput, CheckSighting } from './check-input.ts';
import { acceptedDoubts } from '../decisions.ts';
import { listsForCheck } from './lists-for-check.ts';
import { sightingsForCheck } from './sightings-for-check.ts';

/** What is known beside the records. */
export interface CheckBackground {
  readonly startList: readonly StartListRow[] | null;
  readonly results: readonly ResultRow[] | null;
  /** Measured hub clock minus tablet clock, milliseconds, by tablet. */
  readonly offsetsMs?: ReadonlyMap<string, number>;
  /** The greatest `seq` each tablet has reached, where the hub knows it. */
  readonly lastSeqs?: ReadonlyMap<string, number>;
}

/**
 * The input of a check from records as they now stand. Doubts left as
 * they are come from the lead's records, so that the state of the check is one of records alone.
 */
export function inputOfRecords(view: RaceView, background: CheckBackground): CheckInput {
  const { race, records, projection } = view;
  const { startList, results } = background;
  const checkpoints = checkpointsByKm(race.checkpoints).map((one) => ({
    ...one,
    place: race.checkpoints.indexOf(one),
  }));
  const indexOf = new Map(checkpoints.map((checkpoint, i) => [checkpoint.id, i]));
  return {
    checkpoints,
    sightings: sightingsOf(view, indexOf),
    ...listsForCheck(startList, results),
    startMs: race.start ? Date.parse(race.start) : null,
    finishClock: race.finishClock ?? null,
    raceKm: race.km ?? null,
    offsetsMs: background.offsetsMs ?? new Map(),
    clips: clipsOf(view, indexOf),
    devices: devicesOf(records, background.lastSeqs ?? new Map()),
    posts: (race.observers ?? []).map(({ code, checkpoint }) => ({
      observer: code,
      checkpoint: indexOf.get(checkpoint) ?? 0,
    })),
    plannedSilenceMs: plannedSilenceMs(race),
    passages: projection.marks.length > 0 ? passagesOfRace(view).table : null,
    settledMisreads: settledMisreads(projection),
    leftAsIs: acceptedDoubts(records, projection),
  };
}

function sightingsOf(view: RaceView, indexOf: ReadonlyMap<string, number>): CheckSighting[] {
  const standing: CheckSighting[] = [];
  for (const entry of entriesOf(view)) {
    const { record, checkpoint, bib, gait, left, right, method, observedAt, passed, timeEstimated } = entry;
    const { id, observer, device } = record;
    standing.push({
      ...{ id, checkpoint: indexOf.get(checkpoint)!, bib, gait, left, right, observer, method, device },
      atMs: Date.parse(observedAt),
      ...(passed ? { passed } : {}),
      ...(timeEstimated ? { timeEstimated } : {}),
    });
  }
  return sightingsForCheck(standing);
}

/** Bibs that were put right, by the lead or by whoever misread them. */
function settledMisreads({ sightings }: Projection): { read: string; meant: string }[] {
  return sightings.flatMap(({ record, bib, withdrawn }) =>
    withdrawn || bib === null || record.bib === null || bib === record.bib ? [] : [{ read: record.bib, meant: bib }],
  );
}

function devicesOf(records: readonly TallyRecord[], lastSeqs: ReadonlyMap<string, number>): CheckDevice[] {
  const seqs = new Map<string, { observer: string; seqs: number[] }>();
  for (const { device, observer, seq } of records) {
    const known = seqs.get(device);
    if (known) known.seqs.push(seq);
    else seqs.set(device, { observer, seqs: [seq] });
  }
  return [...seqs].map(([device, own]) => {
    const lastSeq = lastSeqs.get(device);
    return { device, ...own, ...(lastSeq === undefined ? {} : { lastSeq }) };
  });
}

function clipsOf({ projection }: RaceView, indexOf: ReadonlyMap<string, number>): CheckClip[] {
  return projection.clips.flatMap(({ record, withdrawn, stands }) => {
    if (withdrawn) return [];
    const { id, clip, checkpoint, observer, fpsRecorded } = record;
    return [{ ...{ id, clip, observer, fpsRecorded, stands }, checkpoint: indexOf.get(checkpoint) ?? null }];
  });
}

function plannedSilenceMs(race: Race): number {
  const rule = race.samplingRule;
  return rule?.kind === 'windows' ? (rule.everyMinutes - rule.onMinutes + 1) * 60_000 : 0;
}
