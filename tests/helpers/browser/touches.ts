import type { Locator, Page } from '@playwright/test';

export interface Place {
  readonly x: number;
  readonly y: number;
}

/** Real fingers on the screen: the browser makes pointer events, clicks, scrolling and zooming of them by itself. */
export interface Touches {
  /** Puts a further finger down; those before it stay. */
  down(place: Place): Promise<void>;
  /** Moves every finger by so much, in steps of a frame, finger after finger as `by` lists them. */
  move(...by: Place[]): Promise<void>;
  /** Lifts all. */
  up(): Promise<void>;
}

const FRAMES = 12;
const FRAME_MS = 16;

export async function touches(page: Page): Promise<Touches> {
  const session = await page.context().newCDPSession(page);
  let fingers: Place[] = [];
  const send = (type: 'touchStart' | 'touchMove' | 'touchEnd') =>
    session.send('Input.dispatchTouchEvent', { type, touchPoints: fingers.map((place, id) => ({ ...place, id })) });
  return {
    async down(place) {
      fingers = [...fingers, place];
      await send('touchStart');
    },
    async move(...by) {
      const from = fingers;
      for (let frame = 1; frame <= FRAMES; frame += 1) {
        const along = (finger: Place, i: number) => ({
          x: finger.x + ((by[i]?.x ?? 0) * frame) / FRAMES,
          y: finger.y + ((by[i]?.y ?? 0) * frame) / FRAMES,
        });
        fingers = from.map(along);
        await send('touchMove');
        await page.waitForTimeout(FRAME_MS);
      }
    },
    async up() {
      fingers = [];
      await send('touchEnd');
    },
  };
}

export async function middleOf(locator: Locator): Promise<Place> {
  const box = (await locator.boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}
