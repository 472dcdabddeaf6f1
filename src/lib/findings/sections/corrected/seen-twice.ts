import { isClassified, runnerClasses, type SingleFootRule } from '../../../sightings/runner-classes.ts';
import { CLIP, LIVE } from '../../../sightings/seen.ts';
import { usedBy } from '../../../sightings/used-sightings.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** A live runner of whom there is no clip, and one whose clip shows none of the four classes. */
export const NO_CLIP = -1;
export const CLIP_UNCLEAR = -2;

/** The runners with a class by live sightings alone, in columns sorted by bib, then checkpoint, each with the clip's class. */
export interface SeenTwice {
  readonly size: number;
  readonly checkpoint: Int32Array;
  /** Class by the live sightings, its place in `RUNNER_CLASSES`. */
  readonly live: Uint8Array;
  /** Class by the clip sightings, or `NO_CLIP` or `CLIP_UNCLEAR`. */
  readonly clip: Int8Array;
  /** The entries of bib `b` are those from `first[b]` to `first[b + 1]` (not included). */
  readonly first: Int32Array;
  /** By checkpoint: runners with a class by clip but none by live sightings. */
  readonly clipOnly: Int32Array;
}

/** Steps 3 to 6 for the live sightings alone and for the clip sightings alone, side by side. Linear. */
export function seenTwice({ table, used }: ResolvedRace, singleFoot: SingleFootRule): SeenTwice {
  const classesBy = (method: number) => runnerClasses(table, usedBy(used, method), singleFoot);
  const live = classesBy(LIVE);
  const clip = classesBy(CLIP);
  const bibs = table.bibs.length;
  const columns = {
    checkpoint: new Int32Array(live.size),
    live: new Uint8Array(live.size),
    clip: new Int8Array(live.size),
    first: new Int32Array(bibs + 1),
    clipOnly: new Int32Array(table.checkpoints.length),
  };
  let size = 0;
  const addClipOnly = (entry: number): void => {
    if (isClassified(clip.outcome[entry]!)) columns.clipOnly[clip.checkpoint[entry]!]! += 1;
  };
  for (let bib = 0; bib < bibs; bib += 1) {
    let at = clip.first[bib]!;
    const end = clip.first[bib + 1]!;
    for (let i = live.first[bib]!; i < live.first[bib + 1]!; i += 1) {
      const checkpoint = live.checkpoint[i]!;
      for (; at < end && clip.checkpoint[at]! < checkpoint; at += 1) addClipOnly(at);
      if (!isClassified(live.outcome[i]!)) continue;
      columns.checkpoint[size] = checkpoint;
      columns.live[size] = live.outcome[i]!;
      columns.clip[size] = NO_CLIP;
      if (at < end && clip.checkpoint[at] === checkpoint) {
        columns.clip[size] = isClassified(clip.outcome[at]!) ? clip.outcome[at]! : CLIP_UNCLEAR;
        at += 1;
      }
      size += 1;
    }
    for (; at < end; at += 1) addClipOnly(at);
    columns.first[bib + 1] = size;
  }
  return { size, ...columns };
}
