import type { CodeSequence } from '../../../screen/code-sequence.ts';
import { codePicture, drawCode } from './code-picture.ts';

/** Half a refresh of the fastest screens: the refresh that comes closest to the moment is taken. */
const EARLY_MS = 4;

/**
 * Shows code after code, each with the refresh of the screen on which it is due, and makes the next one meanwhile.
 *
 * @param rate codes a second, asked for anew each time
 * @param onShown called with the number of codes shown, and the side of the code in pixels of the page
 * @returns the way to stop
 */
export function runCodes(
  canvas: HTMLCanvasElement,
  sequence: CodeSequence,
  rate: () => number,
  onShown: (shown: number, side: number) => void,
): () => void {
  let n = 0;
  let shownAt = -Infinity;
  let next = codePicture(sequence.text(0), 0, sequence.qrVersion);
  let request = 0;
  const refresh = (now: number) => {
    request = requestAnimationFrame(refresh);
    if (now - shownAt < 1000 / rate() - EARLY_MS) return;
    shownAt = now;
    const ratio = window.devicePixelRatio;
    const { clientWidth, clientHeight } = canvas.parentElement!;
    onShown(n + 1, drawCode(canvas, next, Math.min(clientWidth, clientHeight) * ratio) / ratio);
    n += 1;
    next = codePicture(sequence.text(n), n, sequence.qrVersion);
  };
  request = requestAnimationFrame(refresh);
  return () => cancelAnimationFrame(request);
}
