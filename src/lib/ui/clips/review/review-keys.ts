import { columnFeet, tallyCommand } from '$lib/ui/tally/tally-keys.ts';
import type { ReviewState } from './review-state.svelte.ts';

const isTyping = (target: EventTarget | null) =>
  target instanceof HTMLElement &&
  target.closest('input:not([type=radio], [type=checkbox]), select, textarea') !== null;

/** Enter and the blank belong to whatever has the focus and takes them. */
const isPressable = (target: EventTarget | null) =>
  target instanceof HTMLElement && target.closest('button, a, summary, input, select') !== null;

type ToPassage = (direction: 1 | -1) => void;

/** Keys of the review: arrows step, letters mark, digits are the bib; with Shift the feet lie where Tally has them. */
export function reviewKey(event: KeyboardEvent, review: ReviewState, toPassage: ToPassage): void {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
  const act = endingOf(event, review) ?? actionOf(event, review, toPassage);
  if (!act) return;
  event.preventDefault();
  act();
}

/** What ends a passage: the feet and *walking* by Tally's keys, which come with Shift here since letters mark. */
function endingOf(event: KeyboardEvent, review: ReviewState): (() => void) | undefined {
  const { key, code, shiftKey, repeat } = event;
  if (repeat) return undefined;
  if (key === 'Enter' && !isPressable(event.target)) return () => void review.close('run');
  if (!shiftKey) return undefined;
  const asked = tallyCommand({ key, code, shiftKey: false, ctrlKey: false, metaKey: false, altKey: false });
  if (asked?.type === 'walking') return () => void review.close('walk');
  if (asked?.type !== 'column') return undefined;
  return () => review.runner.chooseFeet(columnFeet(asked.column, false), asked.foot);
}

function actionOf(
  { key, shiftKey, repeat }: KeyboardEvent,
  review: ReviewState,
  toPassage: ToPassage,
): (() => void) | undefined {
  const { film } = review;
  const step = (frames: number) => (repeat ? film.stepWhenShown(frames) : film.step(frames));
  if (/^[0-9]$/.test(key)) return () => review.runner.type(key);
  switch (key) {
    case 'ArrowRight':
      return () => step(shiftKey ? 10 : 1);
    case 'ArrowLeft':
      return () => step(shiftKey ? -10 : -1);
    case 'Home':
      return () => film.goTo(0);
    case 'End':
      return () => film.goTo(film.frames - 1);
    case 'Backspace':
      return () => review.runner.erase();
    case 'c':
      return () => void review.mark('contact');
    case 'f':
      return () => void review.mark('flat');
    case 't':
      return () => void review.mark('toeoff');
    case 'p':
      return () => review.points.place();
    case 'o':
      return () => review.points.placeTouch();
    case 'd':
      return () => void review.toggleDoubtful();
    case 'u':
      return () => void review.undo();
    case 'l':
      return () => review.leap();
    case 's':
      return () => review.chooseFoot(review.foot === 'left' ? 'right' : 'left');
    case 'n':
      return () => review.toMark(1);
    case 'b':
      return () => review.toMark(-1);
    case ']':
      return () => toPassage(1);
    case '[':
      return () => toPassage(-1);
    default:
      return undefined;
  }
}
