import type { CheckInput, CheckSighting } from '../../check/input/check-input.ts';
import { CHECK_STEPS, checkRace } from '../../check/check-race.ts';
import { decisionWords } from '../../check/decision-words.ts';
import { decisionsInForce, type Decision } from '../../check/decisions.ts';
import type { Doubt } from '../../check/doubt.ts';
import { inputOfRecords } from '../../check/input/input-of-records.ts';
import type { Race } from '../../race/race.ts';
import { viewOfRace } from '../../sightings/race-view.ts';
import { gatherRecords } from '../../store/records/record-batches.ts';
import type { StoreDoor } from '../store-door/store-calls.ts';

/** What one observer, or the lead, said of a runner. */
export interface Voice extends Omit<CheckSighting, 'device'> {
  /** The edge of the course where the observer stands, as the set-up says. */
  readonly side?: 'left' | 'right';
}

export interface DoubtView extends Doubt {
  /** Ids of the sightings to show: those in question, then the other ones of the same bib. */
  readonly voices: readonly string[];
}

export interface DecisionView extends Decision {
  readonly sentence: string;
}

/** All that the Check screen shows, small enough to be handed over from a worker. */
export interface CheckView {
  readonly race: Race;
  readonly role: 'observer' | 'analyst' | 'organiser' | null;
  /** By km: doubts name them by their place here. */
  readonly checkpoints: CheckInput['checkpoints'];
  readonly sightings: number;
  /** Sightings left out because the race no longer has their checkpoint. */
  readonly offCourse: number;
  readonly hasStartList: boolean;
  readonly doubts: readonly DoubtView[];
  readonly decisions: readonly DecisionView[];
  readonly voices: ReadonlyMap<string, Voice>;
}

/** More sightings than this in one doubt, such as all of a tablet, are not listed one by one. */
const MOST_VOICES = 24;

/** Reading the records and putting them together come before the check itself. */
const PARTS = 2 + CHECK_STEPS;

/**
 * Checks what this device holds of a race: own and pulled records. `null` when it does not know the race.
 *
 * @param onShare hears which share of the work is done, 0 to 1
 */
export async function checkFromStore(
  store: StoreDoor,
  raceId: string,
  onShare: (share: number) => void = () => undefined,
): Promise<CheckView | null> {
  let done = 0;
  const onPart = () => onShare((done += 1) / PARTS);
  const [stored, records, startList, results, link, known] = await Promise.all([
    store.findRace(raceId),
    gatherRecords(store, raceId),
    store.loadStartList(raceId),
    store.loadResults(raceId),
    store.findHubLink(raceId),
    store.deviceKnowledge(raceId),
  ]);
  if (!stored) return null;
  const { race } = stored;
  onPart();
  const whole = viewOfRace(race, records);
  const { projection } = whole;
  const input = inputOfRecords(whole, { startList: startList.rows, results: results.rows, ...known });
  onPart();
  const byId = new Map(input.sightings.map((s) => [s.id, s]));
  const byBib = new Map<string, string[]>();
  for (const { id, bib } of input.sightings) {
    if (bib === null) continue;
    const group = byBib.get(bib);
    if (group) group.push(id);
    else byBib.set(bib, [id]);
  }
  const sideOf = new Map((race.observers ?? []).map(({ code, checkpoint, side }) => [`${code}\n${checkpoint}`, side]));
  const voices = new Map<string, Voice>();
  const doubts = checkRace(input, onPart).map((doubt): DoubtView => {
    const ids = [...new Set([...doubt.records, ...(doubt.bib === null ? [] : (byBib.get(doubt.bib) ?? []))])];
    const shown = ids.length > MOST_VOICES ? [] : ids.filter((id) => byId.has(id));
    for (const id of shown) {
      const { device: _, ...voice } = byId.get(id)!;
      const side = sideOf.get(`${voice.observer}\n${input.checkpoints[voice.checkpoint]?.id ?? ''}`);
      voices.set(id, side ? { ...voice, side } : voice);
    }
    // A tablet's hundreds of sightings are not needed on the screen; the first carries the decision.
    return { ...doubt, records: doubt.records.slice(0, MOST_VOICES), voices: shown };
  });
  const projected = new Map(projection.sightings.map((s) => [s.record.id, s]));
  return {
    race,
    role: link?.role ?? null,
    checkpoints: input.checkpoints,
    sightings: input.sightings.length,
    offCourse: whole.offCourse.length,
    hasStartList: input.startList !== null,
    doubts,
    decisions: decisionsInForce(records, projection).map((decision) => ({
      ...decision,
      sentence: decisionWords(decision, projected, race.checkpoints),
    })),
    voices,
  };
}
