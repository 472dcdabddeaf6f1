import type { Page } from '@playwright/test';
import type { CodePicture } from '../../../src/lib/ui/screen/show/code-picture.ts';

/** How long each of several codes is in view, in ms. */
const EACH_MS = 120;

/** A camera whose view the test decides: it sees the same code until it is given another. */
export interface CanvasCamera {
  /** Puts codes in view: one that stays, or several that go round until others come. */
  show(...codes: readonly CodePicture[]): Promise<void>;
}

/**
 * Gives the page such a camera; call it before the page opens. What happens after a code was read is tested with it, since
 * a clip that runs on whether the page keeps up or not would make the outcome depend on the machine.
 */
export async function canvasCamera(page: Page, { width = 640, height = 480 } = {}): Promise<CanvasCamera> {
  await page.addInitScript(
    ([width, height, eachMs]) => {
      const canvas = Object.assign(document.createElement('canvas'), { width, height });
      const context = canvas.getContext('2d')!;
      let codes: { side: number; dark: number[] }[] = [];
      const draw = (now: number) => {
        context.fillStyle = 'rgb(235, 235, 235)';
        context.fillRect(0, 0, width!, height!);
        const code = codes[Math.floor(now / eachMs!) % codes.length];
        if (code) {
          const { side, dark } = code;
          const scale = Math.floor(Math.min(width!, height!) / side);
          const [left, top] = [(width! - side * scale) >> 1, (height! - side * scale) >> 1];
          context.fillStyle = 'rgb(16, 16, 16)';
          dark.forEach((module, at) => {
            if (module) context.fillRect(left + (at % side) * scale, top + Math.floor(at / side) * scale, scale, scale);
          });
        }
        requestAnimationFrame(draw);
      };
      requestAnimationFrame(draw);
      navigator.mediaDevices.getUserMedia = () => Promise.resolve(canvas.captureStream(30));
      Object.assign(window, { putInView: (next: typeof codes) => (codes = next) });
    },
    [width, height, EACH_MS],
  );
  return {
    show: (...codes) =>
      page.evaluate(
        (next) => {
          (window as unknown as { putInView: (codes: typeof next) => void }).putInView(next);
        },
        codes.map(({ side, dark }) => ({ side, dark: [...dark].map(Number) })),
      ),
  };
}
