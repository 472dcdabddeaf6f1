import { compareCodePoints } from '../records/code-point-order.ts';
import { FOOT_CLASSES, type Foot, type FootClass } from '../records/foot.ts';
import { isLater } from '../records/projection.ts';
import { entriesOf, type RaceView } from '../sightings/race-view.ts';
import type { StandingEntry } from '../sightings/standing-entries.ts';
import type { ClipItem } from './practice-session.ts';

/**
 * The key of a set of a race's own clips at one checkpoint: an item a runner, named by the bib. A foot is in it when a ruling
 * gives its class, or two or more observers reviewed it on clip and all gave one. Runners without such a foot are left out.
 *
 * @param checkpoint its id
 * @returns by bib, in code-point order
 */
export function keyOfRace(view: RaceView, checkpoint: string): ClipItem[] {
  const reviews = new Map<string, StandingEntry[]>();
  const rulings = new Map<string, StandingEntry>();
  for (const entry of entriesOf(view)) {
    const { bib, method, passed } = entry;
    if (entry.checkpoint !== checkpoint || bib === null || method === 'live' || passed) continue;
    if (method === 'clip') reviews.set(bib, [...(reviews.get(bib) ?? []), entry]);
    else if (isLater(entry.record, rulings.get(bib)?.record)) rulings.set(bib, entry);
  }
  const bibs = [...new Set([...reviews.keys(), ...rulings.keys()])].sort(compareCodePoints);
  return bibs.flatMap((item) => {
    const classOf = (foot: 'left' | 'right'): FootClass | null => {
      const ruling = rulings.get(item);
      return ruling ? asClass(ruling[foot]) : agreedClass(reviews.get(item) ?? [], foot);
    };
    const clip = { item, keyLeft: classOf('left'), keyRight: classOf('right') };
    return clip.keyLeft === null && clip.keyRight === null ? [] : [clip];
  });
}

const asClass = (foot: Foot): FootClass | null => FOOT_CLASSES.find((name) => name === foot) ?? null;

function agreedClass(reviews: readonly StandingEntry[], foot: 'left' | 'right'): FootClass | null {
  const given = reviews.map((entry) => ({ observer: entry.record.observer, name: asClass(entry[foot]) }));
  const [first] = given;
  if (!first || new Set(given.map(({ observer }) => observer)).size < 2) return null;
  return given.every(({ name }) => name === first.name) ? first.name : null;
}
