import type { Foot } from '../../records/foot.ts';
import type { CheckSighting } from '../input/check-input.ts';

const saw = (s: CheckSighting) => s.gait === 'walk' || s.left !== 'unseen' || s.right !== 'unseen';

/**
 * The sightings of one bib at one checkpoint that count: of each observer and method the latest (ties by the greater
 * id), and of these the clips if one of them saw a foot or a walker or there is no live one, else the live ones.
 * Nobody looked at a runner who was let pass. Empty when a ruling settles it.
 */
export function countingSightings(group: readonly CheckSighting[]): CheckSighting[] {
  if (group.some((s) => s.method === 'ruling')) return [];
  const latest = new Map<string, CheckSighting>();
  for (const s of group) {
    if (s.passed) continue;
    const key = `${s.method}\n${s.observer}`;
    const known = latest.get(key);
    if (!known || s.atMs > known.atMs || (s.atMs === known.atMs && s.id > known.id)) latest.set(key, s);
  }
  const all = [...latest.values()];
  const clips = all.filter((s) => s.method === 'clip');
  const live = all.filter((s) => s.method === 'live');
  return clips.some(saw) || live.length === 0 ? clips : live;
}

/** What the sightings that count do not agree on: a tie between walking and running, or for the most of one foot. */
export function disputedParts(counting: readonly CheckSighting[]): ('gait' | 'left' | 'right')[] {
  const walking = counting.filter((s) => s.gait === 'walk').length;
  if (walking * 2 > counting.length) return [];
  if (walking > 0 && walking * 2 === counting.length) return ['gait'];
  const running = counting.filter((s) => s.gait === 'run');
  return (['left', 'right'] as const).filter((side) => tied(running.map((s) => s[side])));
}

function tied(feet: readonly Foot[]): boolean {
  const counts = new Map<Foot, number>();
  for (const foot of feet) if (foot !== 'unseen') counts.set(foot, (counts.get(foot) ?? 0) + 1);
  const most = Math.max(0, ...counts.values());
  return [...counts.values()].filter((count) => count === most).length > 1;
}
