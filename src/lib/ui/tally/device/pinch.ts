import type { Attachment } from 'svelte/attachments';

/** Two taps at once may slide a little; by this much no two thumbs do. */
const PINCH_PX = 48;

type Point = Pick<PointerEvent, 'clientX' | 'clientY'>;

/**
 * Tells of two fingers within the element that move apart or together, or that the browser takes for a pinch. A key acts
 * the moment a finger goes down, and that a pinch was begun shows only later: to wait for it would make every tap late.
 * Fingers that begin on something marked `data-swipes` move for reasons of their own.
 *
 * @param onbegin the first finger (or the mouse) goes down, before any key hears of it
 */
export function pinch(onbegin: () => void, onpinch: () => void): Attachment<HTMLElement> {
  return (node) => {
    const fingers = new Map<number, Point>();
    /** How far apart the two fingers were when the second went down. */
    let apart: number | undefined;
    const distance = () => {
      const [a, b] = [...fingers.values()];
      return a && b ? Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) : 0;
    };
    const end = () => {
      apart = undefined;
      onpinch();
    };
    const down = (event: PointerEvent) => {
      // The first finger of all: of any before it, the lifting went unheard.
      if (event.isPrimary) fingers.clear();
      if (!fingers.size) onbegin();
      if (event.pointerType !== 'touch' || (event.target as Element).closest('[data-swipes]')) return;
      fingers.set(event.pointerId, event);
      apart = fingers.size === 2 ? distance() : undefined;
    };
    const move = (event: PointerEvent) => {
      if (apart === undefined || !fingers.has(event.pointerId)) return;
      fingers.set(event.pointerId, event);
      if (Math.abs(distance() - apart) >= PINCH_PX) end();
    };
    const up = (event: PointerEvent) => {
      if (fingers.delete(event.pointerId)) apart = undefined;
    };
    const cancel = (event: PointerEvent) => {
      if (apart !== undefined && fingers.has(event.pointerId)) end();
      up(event);
    };
    node.addEventListener('pointerdown', down, { capture: true });
    window.addEventListener('pointermove', move);
    window.addEventListener('pointerup', up);
    window.addEventListener('pointercancel', cancel);
    return () => {
      node.removeEventListener('pointerdown', down, { capture: true });
      window.removeEventListener('pointermove', move);
      window.removeEventListener('pointerup', up);
      window.removeEventListener('pointercancel', cancel);
    };
  };
}
