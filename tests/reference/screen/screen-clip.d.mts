export interface ViewOptions {
  rate?: number;
  share?: number;
  tilt?: number;
  blur?: number;
  noise?: number;
  loss?: number;
  seed?: number;
  start?: number;
  exposure?: number;
}

export const CAMERA: { readonly width: number; readonly height: number; readonly fps: number };

/** The picture of code n: rows of booleans without quiet zone. */
export function codeOf(texts: readonly string[], n: number, version: number, ecc: string): boolean[][];

/** A running row of codes as a tablet's camera sees it. */
export class CameraView {
  constructor(code: (n: number) => boolean[][], options?: ViewOptions);
  /** Camera frame i as 8-bit luminance. */
  frame(i: number): Uint8Array;
}

export function writeClip(path: string, view: CameraView, seconds: number): void;
