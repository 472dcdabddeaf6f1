import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test, type Page } from '@playwright/test';
import { countOpenPictures, openPictures } from '../helpers/clips/open-pictures.ts';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { serveFrames } from '../helpers/screen/serve-frames.mjs';

// The frames of the reference clips carry their number as a bar code; make-clips.mjs beside them draws it.
const FOLDER = fileURLToPath(new URL('../reference/clips/', import.meta.url));
const key = (name: string) =>
  JSON.parse(readFileSync(`${FOLDER}${name}.json`, 'utf8')) as { frames: number; barCode: object };

interface Shown {
  asked: number;
  seen: number;
  exact: boolean;
  ms: number;
  heldBytes: number;
}
interface Harness {
  open(name: string, decoder: boolean): Promise<Record<string, unknown> & { facts?: { frames: number } }>;
  close(): void;
  steps(frames: number[], bar: object, options?: object): Promise<Shown[]>;
  pictures(frames: number[]): Promise<number[]>;
}
declare const harness: Harness;

let server: { address: string; close(): Promise<unknown> };
let page: Page;
test.beforeAll(async ({ browser }) => {
  server = await serveFrames(FOLDER);
  page = await browser.newPage();
  await countOpenPictures(page);
  await page.goto(server.address);
  await page.waitForFunction(() => 'harness' in globalThis);
});
test.afterAll(async () => {
  await page.close();
  await server.close();
});

/** A walk of steps on, back and jumps. */
function walk(frames: number, count: number, seed: number): number[] {
  const random = seededRandom(seed);
  const places: number[] = [];
  let at = Math.floor(random() * frames);
  for (let i = 0; i < count; i += 1) {
    const kind = random();
    if (kind < 0.4) at += 1;
    else if (kind < 0.8) at -= 1;
    else if (kind < 0.9) at += Math.floor(random() * 61) - 30;
    else at = Math.floor(random() * frames);
    at = Math.min(frames - 1, Math.max(0, at));
    places.push(at);
  }
  return places;
}

for (const name of ['single.mp4', 'single.webm', 'pack.mp4', 'pack.webm', 'stretched.mp4', 'stretched.webm']) {
  test(`${name}: every one of 200 steps and jumps shows the frame asked for, within the bound of memory`, async () => {
    const { frames, barCode } = key(name.split('.')[0]!);
    const opened = await page.evaluate((file) => harness.open(file, true), name);
    expect(opened).toMatchObject({ kind: 'decoder', facts: { frames } });
    const shown = await page.evaluate(([places, bar]) => harness.steps(places, bar), [
      walk(frames, 200, name.length + frames),
      barCode,
    ] as const);
    expect(shown.filter(({ asked, seen, exact }) => asked !== seen || !exact)).toEqual([]);
    expect(Math.max(...shown.map(({ heldBytes }) => heldBytes))).toBeLessThanOrEqual(128 * 2 ** 20);
  });
}

test('large pictures stay within the bound of memory while stepping on and back with reading ahead, and closing frees all', async () => {
  expect(await page.evaluate(() => harness.open('made/large.mp4', true))).toMatchObject({
    kind: 'decoder',
    facts: { frames: 48, width: 3840, height: 2160 },
  });
  const held: number[] = [];
  for (const [from, direction] of [
    [0, 1],
    [30, -1],
  ] as const) {
    const places = Array.from({ length: 12 }, (_, i) => from + direction * i);
    const shown = await page.evaluate(
      ([list, ahead]) => harness.steps(list, { x: 0, y: 0, cell: 2, bits: 1 }, { ahead, pauseMs: 20 }),
      [places, direction] as const,
    );
    expect(shown.every(({ exact }) => exact)).toBe(true);
    held.push(...shown.map(({ heldBytes }) => heldBytes));
  }
  expect(Math.max(...held)).toBeLessThanOrEqual(128 * 2 ** 20);
  expect(await openPictures(page)).toBeGreaterThan(1);
  await page.evaluate(() => harness.close());
  await expect.poll(() => openPictures(page)).toBe(0);
});

test('the picture element shows the frames of an even clip, and says so', async () => {
  const { frames, barCode } = key('pack');
  expect(await page.evaluate(() => harness.open('pack.mp4', false))).toMatchObject({ kind: 'element' });
  const shown = await page.evaluate(([places, bar]) => harness.steps(places, bar), [
    walk(frames, 40, 5),
    barCode,
  ] as const);
  expect(shown.filter(({ asked, seen, exact }) => asked !== seen || !exact)).toEqual([]);
});

// Pictures of odd files, frame for frame the same in whatever order they are asked for.
for (const [name, frames] of [
  ['variable.mp4', 240],
  ['rotated.mp4', 120],
  ['cut.mp4', 38],
  ['whole.webm', 60],
  ['two-tracks.mp4', 120],
  ['wide.mp4', 24],
] as const) {
  test(`${name} is opened with its ${frames} frames and shows each of them wherever one comes from`, async () => {
    expect(await page.evaluate((file) => harness.open(file, true), `made/${name}`)).toMatchObject({
      facts: { frames },
    });
    const all = Array.from({ length: frames }, (_, i) => i);
    const inOrder = await page.evaluate((places) => harness.pictures(places), all);
    const places = walk(frames, 100, 11);
    const anyhow = await page.evaluate((list) => harness.pictures(list), places);
    expect(anyhow).toEqual(places.map((frame) => inOrder[frame]));
    expect(new Set(inOrder).size).toBeGreaterThan(frames * 0.5);
  });
}

for (const [name, fault, words] of [
  ['hevc.mp4', 'not-decodable', 'HEVC (H.265)'],
  ['cut-off.mp4', 'cut-off', 'The end of the file is missing'],
  ['cut-off.webm', 'cut-off', 'The end of the file is missing'],
  ['two-pieces.mp4', 'edited', 'Export the original'],
  ['sound-only.mp4', 'no-picture', 'sound only'],
] as const) {
  test(`${name} is refused in words`, async () => {
    const opened = await page.evaluate((file) => harness.open(file, true), `made/${name}`);
    expect(opened).toMatchObject({ fault });
    expect(opened['words']).toContain(words);
  });
}
