import type { Page } from '@playwright/test';

// Counts the pictures that a page has decoded and not freed, from outside the code that holds them: every frame that a decoder
// hands out or that is made or cloned, every bitmap, and every close of one.

interface Counting {
  openPictures: Set<object>;
}

function countInPage(): void {
  const open = new Set<object>();
  Object.assign(globalThis, { openPictures: open } satisfies Counting);
  if (!('VideoDecoder' in globalThis)) return;
  const OwnDecoder = VideoDecoder;
  const OwnFrame = VideoFrame;
  globalThis.VideoDecoder = class extends OwnDecoder {
    constructor(init: VideoDecoderInit) {
      super({ ...init, output: (frame) => (open.add(frame), init.output(frame)) });
    }
  };
  globalThis.VideoFrame = new Proxy(OwnFrame, {
    construct(target, parts: ConstructorParameters<typeof VideoFrame>) {
      const frame = new target(...parts);
      open.add(frame);
      return frame;
    },
  });
  const makeBitmap = globalThis.createImageBitmap.bind(globalThis) as (...parts: unknown[]) => Promise<ImageBitmap>;
  const counted = async (...parts: unknown[]) => {
    const bitmap = await makeBitmap(...parts);
    open.add(bitmap);
    return bitmap;
  };
  globalThis.createImageBitmap = counted as typeof createImageBitmap;
  for (const { prototype } of [OwnFrame, ImageBitmap]) {
    const close = prototype.close;
    prototype.close = function (this: object) {
      open.delete(this);
      close.call(this);
    };
  }
}

/** To be called before the page is loaded. */
export const countOpenPictures = (page: Page): Promise<unknown> => page.addInitScript(countInPage);

/** How many pictures the page holds now. */
export const openPictures = (page: Page): Promise<number> =>
  page.evaluate(() => (globalThis as unknown as Counting).openPictures.size);
