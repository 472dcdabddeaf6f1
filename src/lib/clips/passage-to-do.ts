import type { PointName } from '../records/mark-words.ts';
import type { StandingMark } from './may-mark.ts';

/** A mark with the points that stand beside it. */
export interface PointedMark extends StandingMark {
  readonly points: readonly PointName[];
}

/** What is still to do for one runner of a clip. */
export interface PassageToDo {
  /** Contacts whose toe-off is not marked. The last event of all is none: the runner may have left the picture with it. */
  readonly openContacts: number;
  /** Steps with contact and toe-off. */
  readonly steps: number;
  /** Steps that have points at contact and at a flat sole: what a strike angle needs. */
  readonly angled: number;
}

/** Counts steps and what they lack, each foot on its own. */
export function passageToDo(marks: readonly PointedMark[]): PassageToDo {
  let [openContacts, steps, angled] = [0, 0, 0];
  const lastFrame = Math.max(...marks.filter(({ event }) => event !== 'flat').map(({ frame }) => frame));
  for (const foot of ['left', 'right'] as const) {
    const own = marks.filter((mark) => mark.foot === foot).toSorted((a, b) => a.frame - b.frame);
    let open: PointedMark | undefined;
    let flat = false;
    for (const mark of own) {
      if (mark.event === 'flat') flat ||= mark.points.includes('heel');
      else if (mark.event === 'contact') {
        if (open) openContacts += 1;
        [open, flat] = [mark, false];
      } else if (open) {
        steps += 1;
        if (flat && open.points.includes('heel')) angled += 1;
        open = undefined;
      }
    }
    if (open && open.frame < lastFrame) openContacts += 1;
  }
  return { openContacts, steps, angled };
}
