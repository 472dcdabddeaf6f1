import type { LiveAgainstClip } from './live-against-clip.ts';

/** Live and clip calls side by side: how to take them, and why they are not there. */
export function liveAgainstClipNotes(figures: LiveAgainstClip | null): string[] {
  if (figures === null) return ['liveAgainstClip is null: it needs live sightings and sightings from clips.'];
  const { units, notInClip, clipUnseen } = figures.all;
  const unshown = notInClip + clipUnseen;
  const feet = 2 * liveSightings(figures);
  return [
    `liveAgainstClip holds live calls against clips. A clip is a reference and no truth: ${units} of ${feet} feet called live are held against one, ${unshown} are on no clip or not to be seen there. A share or coefficient of no feet is null; one without variation has no interval.`,
  ];
}

function liveSightings({ all }: LiveAgainstClip): number {
  return (all.units + all.liveUnseen + all.clipUnseen + all.notInClip + all.walking + all.disputed) / 2;
}
