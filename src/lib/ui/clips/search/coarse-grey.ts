import { COARSE } from '$lib/clips/find-passages.ts';

type Turn = 0 | 90 | 180 | 270;

/** Pixels that are looked at in each cell, each way. */
const SAMPLES = 6;

/** The brightness of a decoded frame: its first plane, whatever colours come after it. */
export interface LumaPlane {
  readonly bytes: Uint8Array;
  readonly offset: number;
  readonly stride: number;
  readonly width: number;
  readonly height: number;
}

/** Formats whose first plane is brightness in one byte a pixel. */
const LUMA_FIRST: ReadonlySet<string | null> = new Set(['I420', 'I420A', 'I422', 'I444', 'NV12']);

/** The plane of a frame; `null` where the frame cannot be read so. */
export async function lumaOf(frame: VideoFrame, into: Uint8Array<ArrayBuffer>): Promise<LumaPlane | null> {
  const { format, visibleRect } = frame;
  if (!LUMA_FIRST.has(format) || !visibleRect) return null;
  const size = frame.allocationSize();
  const bytes = into.length >= size ? into : new Uint8Array(size);
  const [plane] = await frame.copyTo(bytes);
  return plane ? { bytes, ...plane, width: visibleRect.width, height: visibleRect.height } : null;
}

/**
 * The coarse grey picture of a frame as a person sees it.
 *
 * @param turn quarter turns clockwise, in degrees, that the frame still needs
 */
export function coarseGrey({ bytes, offset, stride, width, height }: LumaPlane, turn: Turn): Uint8Array {
  const grey = new Uint8Array(COARSE.width * COARSE.height);
  for (let y = 0; y < COARSE.height; y += 1) {
    for (let x = 0; x < COARSE.width; x += 1) {
      let sum = 0;
      for (let i = 0; i < SAMPLES * SAMPLES; i += 1) {
        const [u, v] = turnedBack(
          (x + ((i % SAMPLES) + 0.5) / SAMPLES) / COARSE.width,
          (y + (Math.floor(i / SAMPLES) + 0.5) / SAMPLES) / COARSE.height,
          turn,
        );
        sum += bytes[offset + Math.floor(v * height) * stride + Math.floor(u * width)]!;
      }
      grey[y * COARSE.width + x] = sum / (SAMPLES * SAMPLES);
    }
  }
  return grey;
}

/** Where in the frame lies what is seen at a place of the turned picture; shares of width and height. */
function turnedBack(x: number, y: number, turn: Turn): [u: number, v: number] {
  if (turn === 90) return [y, 1 - x];
  if (turn === 180) return [1 - x, 1 - y];
  return turn === 270 ? [1 - y, x] : [x, y];
}
