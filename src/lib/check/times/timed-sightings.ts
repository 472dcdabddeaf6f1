import type { CheckSighting } from '../input/check-input.ts';

/** So long before the first and after the last live sighting a clip's time still passes; common practice, no source. */
const CLIP_SLACK_MS = 10 * 60_000;

/** Live sightings have a time that says when the runner passed, unless it was estimated from paper; clips only when it lies within the live ones there. */
export function timedSightings(sightings: readonly CheckSighting[], atMs: Float64Array): Uint8Array {
  const range = new Map<number, [number, number]>();
  sightings.forEach((s, i) => {
    if (s.method !== 'live' || s.timeEstimated) return;
    const known = range.get(s.checkpoint);
    if (!known) range.set(s.checkpoint, [atMs[i]!, atMs[i]!]);
    else range.set(s.checkpoint, [Math.min(known[0], atMs[i]!), Math.max(known[1], atMs[i]!)]);
  });
  return Uint8Array.from(sightings, (s, i) => {
    if (s.timeEstimated) return 0;
    if (s.method === 'live') return 1;
    if (s.method === 'ruling') return 0;
    const [from, to] = range.get(s.checkpoint) ?? [Infinity, -Infinity];
    return atMs[i]! >= from - CLIP_SLACK_MS && atMs[i]! <= to + CLIP_SLACK_MS ? 1 : 0;
  });
}
