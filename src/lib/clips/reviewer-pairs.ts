import { compareCodePoints } from '../records/code-point-order.ts';
import type { MeasuredPassage, MeasuredStep } from './measure-passages.ts';

/** Contacts of two observers nearer than this are one contact, microseconds. */
const SAME_CONTACT_US = 100_000;

/** One step as two observers marked it, second less first (in the order of their codes). */
export interface StepDifference {
  readonly contactFrame: number;
  readonly toeoffFrame: number | null;
  /** Seconds. */
  readonly contact: number | null;
  /** Degrees. */
  readonly strikeAngle: number | null;
  readonly shankAngle: number | null;
}

interface SeenStep {
  readonly from: MeasuredPassage;
  readonly step: MeasuredStep;
}

const markOf = ({ from, step }: SeenStep, event: 'contact' | 'toeoff') => from.reading.marks[step[event]]!;

/** Steps of one checkpoint that two observers marked: same clip, bib and foot, contacts less than 0.1 s apart. */
export function reviewerPairs(passages: readonly MeasuredPassage[]): StepDifference[] {
  const together = new Map<string, Map<string, SeenStep[]>>();
  for (const from of passages) {
    const { clip, bib, observer } = from.passage;
    for (const step of from.steps) {
      const seen = { from, step };
      const { doubtful, foot } = markOf(seen, 'contact');
      if (doubtful) continue;
      const key = JSON.stringify([clip, bib, foot]);
      let observers = together.get(key);
      if (!observers) together.set(key, (observers = new Map<string, SeenStep[]>()));
      const own = observers.get(observer);
      if (own) own.push(seen);
      else observers.set(observer, [seen]);
    }
  }
  return [...together.values()].flatMap((observers) => {
    const ordered = [...observers].sort(([a], [b]) => compareCodePoints(a, b)).map(([, steps]) => steps);
    return ordered.flatMap((a, i) => ordered.slice(i + 1).flatMap((b) => matchSteps(a, b)));
  });
}

function matchSteps(first: readonly SeenStep[], second: readonly SeenStep[]): StepDifference[] {
  const byFrame = (a: SeenStep, b: SeenStep) => markOf(a, 'contact').frame - markOf(b, 'contact').frame;
  const free = [...second].sort(byFrame);
  return [...first].sort(byFrame).flatMap((mine) => {
    const at = markOf(mine, 'contact').recordedUs;
    let [nearest, least] = [-1, SAME_CONTACT_US];
    free.forEach((theirs, place) => {
      const apart = Math.abs(markOf(theirs, 'contact').recordedUs - at);
      if (apart < least) [nearest, least] = [place, apart];
    });
    const theirs = free[nearest];
    if (!theirs) return [];
    free.splice(nearest, 1);
    return [difference(mine, theirs)];
  });
}

function difference(a: SeenStep, b: SeenStep): StepDifference {
  const of = (name: 'contact' | 'strikeAngle' | 'shankAngle') => {
    const [x, y] = [a.step.measures[name], b.step.measures[name]];
    return x && y ? y.value - x.value : null;
  };
  const [aOff, bOff] = [markOf(a, 'toeoff'), markOf(b, 'toeoff')];
  return {
    contactFrame: markOf(b, 'contact').frame - markOf(a, 'contact').frame,
    toeoffFrame: aOff.doubtful || bOff.doubtful ? null : bOff.frame - aOff.frame,
    contact: of('contact'),
    strikeAngle: of('strikeAngle'),
    shankAngle: of('shankAngle'),
  };
}
