import { encode } from 'uqr';

const QUIET_ZONE = 4;

/** A code as one byte a module, 1 for dark, quiet zone included. */
export interface CodePicture {
  /** Modules along one side. */
  readonly side: number;
  readonly dark: Uint8Array;
}

/** Makes code `n`. Its mask is taken in turn, not the best of eight: the bytes look like chance whichever it is. */
export function codePicture(text: string, n: number, qrVersion: number): CodePicture {
  const { data, size } = encode(text, {
    ecc: 'L',
    minVersion: qrVersion,
    maxVersion: qrVersion,
    maskPattern: n % 8,
    boostEcc: false,
    border: 0,
  });
  const side = size + 2 * QUIET_ZONE;
  const dark = new Uint8Array(side * side);
  data.forEach((row, y) =>
    row.forEach((module, x) => {
      if (module) dark[(y + QUIET_ZONE) * side + x + QUIET_ZONE] = 1;
    }),
  );
  return { side, dark };
}

/**
 * Draws a code as large as fits into `room` pixels of the screen, with whole pixels a module, black on white in every
 * theme. Returns the side that was drawn, in pixels of the screen.
 */
export function drawCode(canvas: HTMLCanvasElement, { side, dark }: CodePicture, room: number): number {
  const scale = Math.max(1, Math.floor(room / side));
  const pixels = side * scale;
  if (canvas.width !== pixels) Object.assign(canvas, { width: pixels, height: pixels });
  const context = canvas.getContext('2d', { alpha: false })!;
  context.fillStyle = 'white';
  context.fillRect(0, 0, pixels, pixels);
  context.fillStyle = 'black';
  for (let y = 0; y < side; y += 1) {
    for (let x = 0; x < side; x += 1) {
      if (!dark[y * side + x]) continue;
      let end = x + 1;
      while (dark[y * side + end]) end += 1;
      context.fillRect(x * scale, y * scale, (end - x) * scale, scale);
      x = end;
    }
  }
  return pixels;
}
