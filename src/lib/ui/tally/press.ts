import type { Attachment } from 'svelte/attachments';

/** No thumb taps one key twice within this time; a worn screen or a wet glove does. */
const BOUNCE_MS = 40;
/** A click this soon after the finger went down is the same tap. */
const SAME_TAP_MS = 1000;

/**
 * Calls `act` the moment a finger or the mouse goes down, which saves the tenth of a second until it comes up again; the
 * click that follows is the same tap and does nothing. Keyboard and screen reader come as clicks of their own. Where
 * the area around can scroll (`instant` is false) a finger that goes down may be about to scroll: there the click counts.
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

const isDisabled = (node: HTMLElement) => node instanceof HTMLButtonElement && node.disabled;
