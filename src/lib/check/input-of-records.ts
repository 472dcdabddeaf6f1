import type { Projection } from '../records/projection.ts';
import type { Race, ResultRow, StartListRow } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import type { CheckDevice, CheckInput, CheckSighting } from './check-input.ts';
import { acceptedDoubts } from './decisions.ts';

/** What is known beside the records. */
export interface CheckBackground {
  readonly race: Race;
  readonly startList: readonly StartListRow[];
  readonly results: readonly ResultRow[];
  /** Measured hub clock minus tablet clock, milliseconds, by tablet. */
  readonly offsetsMs?: ReadonlyMap<string, number>;
  /** The greatest `seq` each tablet has reached, where the hub knows it. */
  readonly lastSeqs?: ReadonlyMap<string, number>;
}

/**
 * The input of a check from records as they now stand. An empty start list or empty results count as none. Doubts left as
 * they are come from the lead's records, so that the state of the check is one of records alone.
 */
export function inputOfRecords(
  records: readonly TallyRecord[],
  projection: Projection,
  background: CheckBackground,
): CheckInput {
  const { race, startList, results } = background;
  const indexOf = new Map(race.checkpoints.map((checkpoint, i) => [checkpoint.id, i]));
  return {
    checkpoints: race.checkpoints,
    sightings: sightingsOf(projection, indexOf),
    startList: startList.length
      ? startList.map(({ bib, start }) => (start ? { bib, startMs: Date.parse(start) } : { bib }))
      : null,
    results: results.length ? results.map(({ bib, finish }) => ({ bib, finishSeconds: finish ?? null })) : null,
    startMs: race.start ? Date.parse(race.start) : null,
    finishClock: race.finishClock ?? null,
    raceKm: race.km ?? null,
    offsetsMs: background.offsetsMs ?? new Map(),
    devices: devicesOf(records, background.lastSeqs ?? new Map()),
    posts: (race.observers ?? []).map(({ code, checkpoint }) => ({
      observer: code,
      checkpoint: indexOf.get(checkpoint) ?? 0,
    })),
    plannedSilenceMs: plannedSilenceMs(race),
    leftAsIs: acceptedDoubts(records, projection),
  };
}

function sightingsOf(projection: Projection, indexOf: ReadonlyMap<string, number>): CheckSighting[] {
  const sightings: CheckSighting[] = [];
  for (const { record, withdrawn, checkpoint, bib, gait, left, right, passed } of projection.sightings) {
    const index = indexOf.get(checkpoint);
    if (withdrawn || index === undefined) continue;
    sightings.push({
      ...{ id: record.id, checkpoint: index, bib, gait, left, right, observer: record.observer, method: record.method },
      ...{ atMs: Date.parse(record.observedAt), device: record.device },
      ...(passed ? { passed } : {}),
      ...(record.timeEstimated ? { timeEstimated: true } : {}),
    });
  }
  for (const { record, stands } of projection.rulings) {
    const index = indexOf.get(record.checkpoint);
    if (!stands || index === undefined) continue;
    sightings.push({
      ...{ id: record.id, checkpoint: index, bib: record.bib, gait: record.gait ?? 'run', left: record.left },
      ...{ right: record.right, observer: record.observer, method: 'ruling', atMs: Date.parse(record.madeAt) },
      device: record.device,
    });
  }
  return sightings;
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

function plannedSilenceMs(race: Race): number {
  const rule = race.samplingRule;
  return rule?.kind === 'windows' ? (rule.everyMinutes - rule.onMinutes + 1) * 60_000 : 0;
}
