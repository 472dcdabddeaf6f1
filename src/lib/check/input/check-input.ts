import type { PassageTable } from '../../clips/passage.ts';
import type { SeenRunner } from '../../records/seen-runner.ts';

/** One runner seen by one observer as it now stands, or a ruling. Withdrawn sightings are not handed in. */
export interface CheckSighting extends SeenRunner {
  /** The record's id. */
  readonly id: string;
  /** Index into `checkpoints`. */
  readonly checkpoint: number;
  readonly observer: string;
  readonly method: 'live' | 'clip' | 'ruling';
  /** When it was seen by the clock of its tablet, milliseconds since 1970-01-01T00:00Z. */
  readonly atMs: number;
  /** Let pass by the sampling rule: nobody looked at the feet. */
  readonly passed?: boolean;
  /** `atMs` lies between two times written on paper: it does not say when the runner passed. */
  readonly timeEstimated?: boolean;
  /** Which tablet; an observer without one is taken for a tablet of their own. */
  readonly device?: string;
}

/** The tablet of a sighting; an observer without one counts as a tablet. */
export function deviceOf(sighting: CheckSighting): string {
  return sighting.device ?? `observer ${sighting.observer}`;
}

export interface CheckCheckpoint {
  /** Whatever names the checkpoint to the caller: an id in the app, the name in a table. */
  readonly id: string;
  readonly name: string;
  /** Distance from the start. */
  readonly km: number;
  /** Its place in the set-up, which keys of doubts are made of; its index here where there is no set-up. */
  readonly place?: number;
}

/** What one tablet has handed in, so that holes in its counting show. */
export interface CheckDevice {
  readonly device: string;
  readonly observer: string;
  /** The `seq` of every record of this tablet that is here, of any kind, in any order. */
  readonly seqs: readonly number[];
  /** The greatest `seq` the tablet has said it reached, where the hub knows it. */
  readonly lastSeq?: number;
}

/** What somebody said of a clip: the same file may be said twice, of one checkpoint or of several. */
export interface CheckClip {
  /** The record's id. */
  readonly id: string;
  /** Fingerprint of the file. */
  readonly clip: string;
  /** Index into `checkpoints`, or `null` for one that the race no longer has. */
  readonly checkpoint: number | null;
  readonly observer: string;
  readonly fpsRecorded: number;
  /** Whether it is the latest for its checkpoint: the one that times are made with. */
  readonly stands: boolean;
}

/** All that the check looks at. Everything but checkpoints and sightings may be unknown. */
export interface CheckInput {
  /** By km. */
  readonly checkpoints: readonly CheckCheckpoint[];
  /** As `sightingsForCheck` gives them. */
  readonly sightings: readonly CheckSighting[];
  /** `startMs`: the runner's own start, where the list has it. */
  readonly startList: readonly { readonly bib: string; readonly startMs?: number }[] | null;
  readonly results: readonly { readonly bib: string; readonly finishSeconds: number | null }[] | null;
  /** Start of the race, milliseconds since 1970. */
  readonly startMs: number | null;
  /** What finish times count from; `null` is unknown. */
  readonly finishClock: 'gun' | 'net' | null;
  /** Length of the course. */
  readonly raceKm: number | null;
  /** Measured hub clock minus tablet clock, milliseconds, by tablet. */
  readonly offsetsMs: ReadonlyMap<string, number>;
  readonly devices: readonly CheckDevice[];
  /** What was said of clips, but what was taken back; a table of marks has one word for each. */
  readonly clips?: readonly CheckClip[];
  /** Observers of the set-up and the checkpoints (indices) each has a post at. */
  readonly posts: readonly { readonly observer: string; readonly checkpoint: number }[];
  /** Silences up to this long are part of the sampling rule, milliseconds. */
  readonly plannedSilenceMs: number;
  /** What was marked in clips, checkpoints by name; `null` where there is nothing. */
  readonly passages: PassageTable | null;
  /** Bibs that were put right: they teach what this race's observers take for what. A table does not show them. */
  readonly settledMisreads?: readonly { readonly read: string; readonly meant: string }[];
  /** Keys of the doubts that the lead has looked at and left as they are. */
  readonly leftAsIs: ReadonlySet<string>;
}

/** An input with nothing known, for callers to fill in. */
export const EMPTY_CHECK_INPUT: CheckInput = {
  checkpoints: [],
  sightings: [],
  startList: null,
  results: null,
  startMs: null,
  finishClock: null,
  raceKm: null,
  offsetsMs: new Map(),
  devices: [],
  posts: [],
  plannedSilenceMs: 0,
  passages: null,
  leftAsIs: new Set(),
};
