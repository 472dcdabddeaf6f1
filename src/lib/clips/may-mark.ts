import type { MarkEvent, Side } from '../records/mark-words.ts';

/** An event as it stands in a passage. */
export interface StandingMark {
  readonly foot: Side;
  readonly event: MarkEvent;
  readonly frame: number;
}

/** Two events of one kind closer than this are one event, marked twice: see how passages are read. */
export const ONE_EVENT_SECONDS = 0.3;

/**
 * Whether an event may be marked in a frame: a toe-off or a flat after the contact of its foot, a foot not twice. What a
 * device does not offer may still come as a record; then it is kept and counted as left out.
 *
 * @param seconds recorded time of a frame
 */
export function mayMark(
  { foot, event, frame }: StandingMark,
  marks: readonly StandingMark[],
  seconds: (frame: number) => number,
): boolean {
  const own = marks.filter((one) => one.foot === foot && one.event !== 'flat').toSorted((a, b) => a.frame - b.frame);
  const before = own.findLast((one) => one.frame <= frame);
  if (event === 'flat') return before?.event === 'contact' && !isTwice(marks, { foot, event, frame });
  if (event === 'toeoff' && !(before?.event === 'contact' && before.frame < frame)) return false;
  const after = own.find((one) => one.frame > frame);
  const close = (one: StandingMark | undefined) =>
    one?.event === event && Math.abs(seconds(one.frame) - seconds(frame)) < ONE_EVENT_SECONDS;
  return !close(before) && !close(after);
}

const isTwice = (marks: readonly StandingMark[], { foot, event, frame }: StandingMark) =>
  marks.some((one) => one.foot === foot && one.event === event && one.frame === frame);
