import { compareCodePoints } from '../records/code-point-order.ts';
import { SIDES, type Side } from '../records/mark-words.ts';
import type { PassageMark } from './passage.ts';

/** The other foot's contact counts as the next one when it comes within these, microseconds of recorded time. */
const NEXT_LEAST_US = 150_000;
const NEXT_MOST_US = 1_200_000;
/** Between two contacts of one foot. Marks of one foot and event that lie closer are one event marked twice. */
const STRIDE_LEAST_US = 300_000;
const STRIDE_MOST_US = 2_400_000;
/** Within one frame a foot leaves before another lands. */
const ORDER_IN_FRAME = { toeoff: 0, contact: 1, flat: 2 } as const;

/** A contact and the toe-off that ends it, as places among the marks of the reading. */
export interface StepPlaces {
  readonly contact: number;
  readonly toeoff: number;
  readonly flat: number | null;
}

/** What the marks of one passage say together. */
export interface PassageReading {
  /** In order of frame. */
  readonly marks: readonly PassageMark[];
  /** Steps in order of their contact. */
  readonly steps: readonly StepPlaces[];
  /** Places of marks that a later made mark of the same event replaces. */
  readonly repeats: ReadonlySet<number>;
  /** Places of marks that belong to a step. */
  readonly inStep: ReadonlySet<number>;
  /** For the place of a contact, that of the other foot's next contact. */
  readonly nextOther: ReadonlyMap<number, number>;
  /** For the place of a contact, that of the same foot's next contact. */
  readonly nextSame: ReadonlyMap<number, number>;
}

export function otherFoot(foot: Side): Side {
  return foot === 'left' ? 'right' : 'left';
}

function compareMarks(a: PassageMark, b: PassageMark): number {
  return (
    a.frame - b.frame ||
    ORDER_IN_FRAME[a.event] - ORDER_IN_FRAME[b.event] ||
    a.madeAtMs - b.madeAtMs ||
    compareCodePoints(a.id, b.id)
  );
}

/** Of these places that of the mark made last, ties by the greater id. */
function lastMade(marks: readonly PassageMark[], places: readonly number[]): number {
  return places.reduce((best, place) => {
    const [a, b] = [marks[best]!, marks[place]!];
    return b.madeAtMs - a.madeAtMs > 0 || (b.madeAtMs === a.madeAtMs && compareCodePoints(b.id, a.id) > 0)
      ? place
      : best;
  });
}

/** Contacts and toe-offs of one foot that stand; those that another replaces go to `repeats`. */
function standingEvents(marks: readonly PassageMark[], foot: Side, repeats: Set<number>): number[] {
  const places = [...marks.keys()].filter((place) => marks[place]!.foot === foot && marks[place]!.event !== 'flat');
  const groups: number[][] = [];
  for (const place of places) {
    const group = groups.at(-1);
    const before = group && marks[group.at(-1)!]!;
    const mark = marks[place]!;
    const same = before?.event === mark.event && mark.recordedUs - before.recordedUs < STRIDE_LEAST_US;
    if (group && same) group.push(place);
    else groups.push([place]);
  }
  return groups.map((group) => {
    const stands = lastMade(marks, group);
    for (const place of group) if (place !== stands) repeats.add(place);
    return stands;
  });
}

/** The first of `places` (in order) whose frame is greater than `frame`. */
function firstAfter(marks: readonly PassageMark[], places: readonly number[], frame: number): number | undefined {
  let [low, high] = [0, places.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (marks[places[middle]!]!.frame > frame) high = middle;
    else low = middle + 1;
  }
  return places[low];
}

/**
 * Reads the marks of one passage: which of them stand, which contact and toe-off are a step, and which contact follows
 * which. A contact that no toe-off ends is no step, but follows others and is followed. n log n.
 */
export function readPassage(unordered: readonly PassageMark[]): PassageReading {
  const marks = [...unordered].sort(compareMarks);
  const repeats = new Set<number>();
  const inStep = new Set<number>();
  const steps: StepPlaces[] = [];
  const contacts: Record<Side, number[]> = { left: [], right: [] };
  for (const foot of SIDES) {
    const events = standingEvents(marks, foot, repeats);
    contacts[foot] = events.filter((place) => marks[place]!.event === 'contact');
    const flats = [...marks.keys()].filter((place) => marks[place]!.foot === foot && marks[place]!.event === 'flat');
    events.forEach((contact, i) => {
      const toeoff = events[i + 1];
      if (marks[contact]!.event !== 'contact' || toeoff === undefined || marks[toeoff]!.event !== 'toeoff') return;
      const flat = flatOfStep(marks, flats, contact, toeoff, repeats);
      steps.push({ contact, toeoff, flat });
      for (const place of [contact, toeoff, flat]) if (place !== null) inStep.add(place);
    });
  }
  steps.sort((a, b) => a.contact - b.contact);
  return { marks, steps, repeats, inStep, ...followingContacts(marks, contacts) };
}

function flatOfStep(
  marks: readonly PassageMark[],
  flats: readonly number[],
  contact: number,
  toeoff: number,
  repeats: Set<number>,
): number | null {
  const from = firstAfter(marks, flats, marks[contact]!.frame - 1);
  if (from === undefined) return null;
  const inside: number[] = [];
  for (let i = flats.indexOf(from); i < flats.length && marks[flats[i]!]!.frame < marks[toeoff]!.frame; i += 1) {
    inside.push(flats[i]!);
  }
  if (inside.length === 0) return null;
  const stands = lastMade(marks, inside);
  for (const place of inside) if (place !== stands) repeats.add(place);
  return stands;
}

function followingContacts(
  marks: readonly PassageMark[],
  contacts: Readonly<Record<Side, readonly number[]>>,
): Pick<PassageReading, 'nextOther' | 'nextSame'> {
  const nextOther = new Map<number, number>();
  const nextSame = new Map<number, number>();
  for (const foot of SIDES) {
    const others = contacts[otherFoot(foot)];
    for (const place of contacts[foot]) {
      const { frame, recordedUs } = marks[place]!;
      const other = firstAfter(marks, others, frame);
      const same = firstAfter(marks, contacts[foot], frame);
      const since = (next: number) => marks[next]!.recordedUs - recordedUs;
      const sameFrame = same === undefined ? Infinity : marks[same]!.frame;
      if (other !== undefined && marks[other]!.frame < sameFrame) {
        if (since(other) >= NEXT_LEAST_US && since(other) <= NEXT_MOST_US) nextOther.set(place, other);
      }
      if (same === undefined || since(same) < STRIDE_LEAST_US || since(same) > STRIDE_MOST_US) continue;
      // With two contacts of the other foot between them one of this foot's own is missing.
      const second = other === undefined ? undefined : others[others.indexOf(other) + 1];
      if (second === undefined || marks[second]!.frame >= sameFrame) nextSame.set(place, same);
    }
  }
  return { nextOther, nextSame };
}
