import { compareCodePoints } from '../records/code-point-order.ts';
import type { Checkpoint, COURSE_SIDES, Race } from './race.ts';

/** Where one observer stands: one checkpoint, or several on a lapped course, by km. */
export interface Station {
  readonly observer: string;
  readonly checkpoints: readonly Checkpoint[];
  /** The edge of the course, seen in the running direction. */
  readonly side: (typeof COURSE_SIDES)[number] | undefined;
}

/** Checkpoints by km; those at the same km by name. */
export function checkpointsByKm(checkpoints: readonly Checkpoint[]): Checkpoint[] {
  return [...checkpoints].sort((a, b) => a.km - b.km || compareCodePoints(a.name, b.name));
}

/** The stations that the set-up knows, one for each observer code, by code. */
export function stationsOf(race: Race): Station[] {
  const posts = race.observers ?? [];
  const codes = [...new Set(posts.map((post) => post.code))].sort(compareCodePoints);
  return codes.map((observer) => {
    const own = posts.filter((post) => post.code === observer);
    return {
      observer,
      checkpoints: checkpointsByKm(race.checkpoints.filter((c) => own.some((post) => post.checkpoint === c.id))),
      side: own.find((post) => post.side)?.side,
    };
  });
}

/**
 * Which checkpoint of the station a runner comes to now: the one after the furthest where they were seen, and the last
 * one once they were seen there.
 *
 * @param checkpoints at least one, by km
 * @param seen whether this runner was seen at the checkpoint with this id
 */
export function proposedCheckpoint(checkpoints: readonly Checkpoint[], seen: (id: string) => boolean): Checkpoint {
  const furthest = checkpoints.findLastIndex((checkpoint) => seen(checkpoint.id));
  const next = checkpoints[Math.min(furthest + 1, checkpoints.length - 1)];
  if (!next) throw new RangeError('a station has at least one checkpoint');
  return next;
}
