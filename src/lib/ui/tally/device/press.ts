import type { Attachment } from 'svelte/attachments';

/** No thumb taps one key twice within this time; a worn screen or a wet glove does. */
const BOUNCE_MS = 40;
/** A click this soon after the finger went down is the same tap. */
const SAME_TAP_MS = 1000;

/**
 * Calls `act` the moment a finger or the mouse goes down, which saves the tenth of a second until it comes up again; the
 * click that follows is the same tap and does nothing. Keyboard and screen reader come as clicks of their own. Where
 * the area around can scroll or is zoomed in (`instant` is false) a finger that goes down may be about to move it: there
 * the click counts. A pinch that begins on such a key does not zoom; one that begins beside the keys does.
 */
export function press(act: () => void, instant: () => boolean = () => true): Attachment<HTMLElement> {
  return (node) => {
    let downAt = -Infinity;
    const down = (event: PointerEvent) => {
      if (event.button !== 0 || isDisabled(node)) return;
      // Keeps the focus where it is and the text unmarked.
      event.preventDefault();
      if (!instant()) return;
      const bounced = event.timeStamp - downAt < BOUNCE_MS;
      downAt = event.timeStamp;
      if (!bounced) act();
    };
    const click = (event: MouseEvent) => {
      const sameTap = event.detail > 0 && event.timeStamp - downAt < SAME_TAP_MS;
      if (!sameTap && !isDisabled(node)) act();
    };
    // Spares the mouse events and the click after it, which would come between the tap and the storage's answer. A second
    // finger is left alone.
    const touchStart = (event: TouchEvent) => {
      if (instant() && event.touches.length === 1 && !isDisabled(node)) event.preventDefault();
    };
    const mouseDown = (event: MouseEvent) => event.preventDefault();
    node.addEventListener('pointerdown', down);
    node.addEventListener('touchstart', touchStart, { passive: false });
    node.addEventListener('mousedown', mouseDown);
    node.addEventListener('click', click);
    return () => {
      node.removeEventListener('touchstart', touchStart);
      node.removeEventListener('pointerdown', down);
      node.removeEventListener('mousedown', mouseDown);
      node.removeEventListener('click', click);
    };
  };
}

/** A finger that slides less than this has stayed where it was. */
const SLIDE_PX = 24;

/**
 * Calls `act` when a finger is lifted where it went down, however long it stayed: for keys that may also be swiped or
 * scrolled. The browser makes no click of a finger that rests for half a second, as a cold or gloved one does.
 */
export function pressAndLift(act: () => void): Attachment<HTMLElement> {
  return (node) => {
    let from: PointerEvent | undefined;
    let liftedAt = -Infinity;
    const down = (event: PointerEvent) => (from = event.pointerType === 'touch' ? event : undefined);
    const up = (event: PointerEvent) => {
      if (from?.pointerId !== event.pointerId) return;
      const slid = Math.hypot(event.clientX - from.clientX, event.clientY - from.clientY);
      from = undefined;
      if (slid >= SLIDE_PX) return;
      liftedAt = event.timeStamp;
      act();
    };
    const cancel = () => (from = undefined);
    // No click after it: another key may lie there by now.
    const touchEnd = (event: TouchEvent) => {
      if (event.cancelable && event.timeStamp - liftedAt < BOUNCE_MS) event.preventDefault();
    };
    const click = (event: MouseEvent) => {
      if (event.detail === 0 || event.timeStamp - liftedAt > SAME_TAP_MS) act();
    };
    node.addEventListener('pointerdown', down);
    node.addEventListener('pointerup', up);
    node.addEventListener('pointercancel', cancel);
    node.addEventListener('touchend', touchEnd);
    node.addEventListener('click', click);
    return () => {
      node.removeEventListener('touchend', touchEnd);
      node.removeEventListener('pointerdown', down);
      node.removeEventListener('pointerup', up);
      node.removeEventListener('pointercancel', cancel);
      node.removeEventListener('click', click);
    };
  };
}

const isDisabled = (node: HTMLElement) => node instanceof HTMLButtonElement && node.disabled;
