import { afterEach, describe, expect, it, vi } from 'vitest';
import { ReadyPictures } from './ready-pictures.ts';

let open = 0;
const bitmap = () => {
  open += 1;
  return { close: () => (open -= 1) };
};
const decoded = { format: 'I420' } as VideoFrame;

async function readyAt(pictures: ReadyPictures, frame: number, direction: 1 | -1): Promise<void> {
  for (const near of pictures.lookFrom(frame, direction)) await pictures.make(near, decoded);
}

afterEach(() => {
  open = 0;
  vi.unstubAllGlobals();
});

describe('pictures ready to draw', () => {
  it.each([
    [1920, 1080, [99, 101, 102]],
    [3840, 2160, [101]],
    [8192, 8192, []],
  ])('of %d × %d stay within 32 MiB, and what is left behind is freed', async (width, height, held) => {
    vi.stubGlobal('createImageBitmap', () => Promise.resolve(bitmap()));
    const pictures = new ReadyPictures(width * height);
    expect(pictures.mostBytes).toBeLessThanOrEqual(32 * 2 ** 20);
    for (let frame = 90; frame < 100; frame += 1) await readyAt(pictures, frame, 1);
    expect(pictures.bytes).toBeLessThanOrEqual(pictures.mostBytes);
    await readyAt(pictures, 100, 1);
    expect([97, 98, 99, 101, 102, 103].filter((frame) => pictures.get(frame))).toEqual(held);
    expect(open * width * height * 4).toBe(pictures.bytes);
    pictures.close();
    expect(open).toBe(0);
  });

  it('are given up where memory is refused, and not where a frame has gone', async () => {
    vi.stubGlobal('createImageBitmap', () => Promise.reject(new Error('no')));
    const pictures = new ReadyPictures(100);
    await pictures.make(1, { format: null } as VideoFrame);
    expect(pictures.lookFrom(0, 1)).not.toEqual([]);
    await pictures.make(1, decoded);
    expect(pictures.lookFrom(0, 1)).toEqual([]);
  });

  it('are made once, however often they are asked for', async () => {
    vi.stubGlobal('createImageBitmap', () => Promise.resolve(bitmap()));
    const pictures = new ReadyPictures(100);
    await Promise.all([pictures.make(1, decoded), pictures.make(1, decoded)]);
    await pictures.make(1, decoded);
    expect(open).toBe(1);
  });

  it('that come after the end are freed', async () => {
    vi.stubGlobal('createImageBitmap', () => Promise.resolve(bitmap()));
    const pictures = new ReadyPictures(100);
    const making = pictures.make(1, decoded);
    pictures.close();
    await making;
    expect(open).toBe(0);
  });
});
