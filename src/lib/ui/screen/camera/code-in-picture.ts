import { _QRScanner, type DecodeFormat, type Image } from 'qr/decode.js';

interface Pixels extends Image {
  readonly format: DecodeFormat;
}

/** Formats of camera pictures that begin with their brightness, which is all that a code needs. */
const PLANAR = ['I420', 'NV12'] as const;

let scanner: _QRScanner | undefined;
let side = 0;
let canvas: OffscreenCanvas | undefined;
let bytes = new Uint8Array();

/** A scanner keeps its planes from picture to picture; a larger picture takes a new one. */
function scannerFor({ width, height }: Image): _QRScanner {
  if (!scanner || Math.max(width, height) > side) {
    side = Math.max(width, height);
    // One try for each picture: the next is there in a thirtieth of a second.
    scanner = new _QRScanner({ maxSize: { width: side, height: side }, effort: 1 });
  }
  return scanner;
}

interface Part {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The whole of a picture, or the square in its middle; at even places, as planes want it. */
function partOf(width: number, height: number, square: boolean): Part {
  if (!square) return { x: 0, y: 0, width, height };
  const side = Math.min(width, height) & ~1;
  return { x: ((width - side) >> 1) & ~1, y: ((height - side) >> 1) & ~1, width: side, height: side };
}

/** The pixels as the camera gives them, or `null` when this picture does not hand them out. */
async function planesOf(picture: ImageBitmap | VideoFrame, square: boolean): Promise<Pixels | null> {
  const format = 'format' in picture ? PLANAR.find((known) => known === picture.format) : undefined;
  if (!format || !('copyTo' in picture) || !picture.visibleRect) return null;
  const { x, y, ...size } = picture.visibleRect.toJSON() as Part;
  const part = partOf(size.width, size.height, square);
  const rect = { ...part, x: x + part.x, y: y + part.y };
  const length = picture.allocationSize({ rect });
  // The decoder wants planes without gaps between rows.
  if (length !== part.width * part.height * 1.5) return null;
  if (bytes.length !== length) bytes = new Uint8Array(length);
  await picture.copyTo(bytes, { rect });
  return { width: part.width, height: part.height, data: bytes, format };
}

/** The pixels by way of a canvas. */
function paintedPixels(picture: ImageBitmap | VideoFrame, square: boolean): Pixels {
  const [wide, high] =
    'displayWidth' in picture ? [picture.displayWidth, picture.displayHeight] : [picture.width, picture.height];
  const { x, y, width, height } = partOf(wide, high, square);
  canvas ??= new OffscreenCanvas(width, height);
  if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('no canvas in a worker');
  context.drawImage(picture, x, y, width, height, 0, 0, width, height);
  return { width, height, data: context.getImageData(0, 0, width, height).data, format: 'RGBA' };
}

/**
 * The text of a code in the picture, or `null`. For workers: a picture takes some milliseconds, thirty times a second.
 *
 * @param square look in the square in the middle alone, which takes half the time
 */
export async function codeIn(picture: ImageBitmap | VideoFrame, square: boolean): Promise<string | null> {
  const pixels = (await planesOf(picture, square)) ?? paintedPixels(picture, square);
  const reader = scannerFor(pixels);
  reader.addImage(pixels, pixels.format);
  const [found] = reader.decode();
  return typeof found === 'string' ? found : null;
}
