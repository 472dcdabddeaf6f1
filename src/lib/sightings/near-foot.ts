import type { RaceView } from './race-view.ts';
import type { NearFoot } from './seen.ts';
import type { StandingEntry } from './standing-entries.ts';

/**
 * Which foot was the near one: of a live sighting from the side of the course on which its observer stands, of one from a
 * clip from where runners go in the picture. `unknown` where nobody said it, and of rulings.
 */
export function nearFootOf({ race, projection }: RaceView): (entry: StandingEntry) => NearFoot {
  const sides = new Map<string, NearFoot>();
  for (const { code, checkpoint, side } of race.observers ?? []) if (side) sides.set(`${checkpoint}\n${code}`, side);
  const clips = new Map<string, NearFoot>();
  for (const { record, stands } of projection.clips) {
    const { clip, checkpoint, direction, mirrored = false } = record;
    const turned = direction === 'left' ? 'right' : 'left';
    if (stands) clips.set(`${checkpoint}\n${clip}`, mirrored ? turned : direction);
  }
  return ({ record, checkpoint, method }) => {
    if (method === 'live') return sides.get(`${checkpoint}\n${record.observer}`) ?? 'unknown';
    const clip = record.kind === 'sighting' ? record.clip : undefined;
    return clip === undefined ? 'unknown' : (clips.get(`${checkpoint}\n${clip}`) ?? 'unknown');
  };
}
