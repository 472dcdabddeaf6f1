import assert from 'node:assert/strict';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Page } from './page.ts';
import { kept, openTally, RACE, takeStation, tally, tallyAt, thumb, untilKept } from './tally-scene.ts';

export interface Scene {
  /** Of a browser that has stored nothing yet. */
  readonly page: Page;
  /** A hub at a secure address, and the same one over plain http in the local network (`null` without one). */
  readonly url: string;
  readonly plainUrl: string | null;
  /** One of its own that may die. */
  readonly hub: { readonly url: string; readonly kill: () => Promise<void>; readonly start: () => Promise<void> };
  /** The hubs' organiser key. */
  readonly key: string;
  /** How often the browser is ended after a tap. */
  readonly kills: number;
  readonly newTab: () => Promise<Page>;
  /** The page of the browser once it was ended and opened again. */
  readonly reopened: () => Promise<Page>;
}

const CLASSES = ['rearfoot', 'rearfoot', 'midfoot', 'rearfoot', 'forefoot'];
const bibOf = (n: number): string => String(1001 + 7 * n);
const classOf = (n: number): string => CLASSES[n % CLASSES.length]!;

/** What matters most of a race day. Waits are for what the page shows; nothing is said about how long it took. */
export const SCENES: Readonly<Record<string, (scene: Scene) => Promise<void>>> = {
  'sixty runners by touch, with slips': sixtyRunners,
  'reload without the hub': reloadWithoutHub,
  'two tabs at once': twoTabs,
  'ended right after a tap': endedAfterTap,
  'join by code, hand in to a hub that dies': handIn,
  'Check, every picture of Findings, Export, print': screens,
  'plain http': plainHttp,
};

async function sixtyRunners({ page, url }: Scene): Promise<void> {
  const list = Array.from({ length: 60 }, (_, n) => bibOf(n));
  await openTally(page, url, list);
  // The engine's own input first: keys must answer to more than made-up events.
  for (const digit of bibOf(0)) await page.press(digit);
  await page.press(`[data-cell="both-${classOf(0)}"]`);
  await untilKept(page, 1);
  for (let n = 1; n < 60; n += 1) {
    const cell = `@both-${classOf(n)}`;
    // The class key bounces; the feet come first; the runner is lined up.
    if (n % 15 === 3) await thumb(page, ...bibOf(n), cell, 60, cell);
    else if (n % 15 === 7) await thumb(page, 700, cell, ...bibOf(n));
    else if (n % 15 === 11) await thumb(page, ...bibOf(n), 'Line up', 700, cell);
    else await tally(page, bibOf(n), classOf(n));
    await untilKept(page, n + 1);
  }
  const rows = await kept(page);
  assert.deepEqual(
    rows.map(({ seq, bib, feet }) => `${seq} ${bib} ${feet}`),
    list.map((bib, n) => `${n + 1} ${bib} ${classOf(n)} ${classOf(n)}`),
  );
  await thumb(page, 'Undo');
  await untilKept(page, 61);
  assert.equal((await kept(page))[60]?.kind, 'withdrawal');
}

async function reloadWithoutHub({ page, hub }: Scene): Promise<void> {
  await openTally(page, hub.url);
  // A page is in the hands of its worker from the first load on that finds it ready.
  await page.until('the app to be kept on the device', async () => {
    const known = await navigator.serviceWorker.getRegistration();
    return known?.active?.state === 'activated';
  });
  await page.go(tallyAt(hub.url));
  await page.until('the worker to have the page', () => navigator.serviceWorker.controller !== null);
  await takeStation(page);
  await tally(page, '512', 'midfoot');
  await untilKept(page, 1);
  await hub.kill();
  await page.go(tallyAt(hub.url));
  await takeStation(page);
  await page.shows('1 tallied');
  await tally(page, '88', 'forefoot');
  await untilKept(page, 1);
  assert.deepEqual(
    (await kept(page)).map(({ bib }) => bib),
    ['512', '88'],
  );
}

async function twoTabs({ page, url, newTab }: Scene): Promise<void> {
  await openTally(page, url);
  const other = await newTab();
  await other.go(tallyAt(url));
  await takeStation(other);
  // Started and left alone, so that both run at once.
  const twenty = (tab: Page, first: number) =>
    tab.run((from) => {
      const all = async () => {
        for (let bib = from; bib < from + 20; bib += 1) {
          for (const digit of String(bib)) {
            [...document.querySelectorAll('button')].find((one) => one.textContent.trim() === digit)?.click();
          }
          document.querySelector<HTMLElement>('[data-cell="both-rearfoot"]')?.click();
          await new Promise((resolve) => setTimeout(resolve, 10));
        }
      };
      void all();
    }, first);
  await twenty(page, 1000);
  await twenty(other, 2000);
  await untilKept(page, 20);
  await untilKept(other, 20);
  const rows = await kept(page);
  assert.deepEqual(
    rows.map(({ seq }) => seq),
    Array.from({ length: 40 }, (_, i) => i + 1),
  );
  assert.equal(new Set(rows.map(({ bib }) => bib)).size, 40);
}

async function endedAfterTap({ page, url, reopened, kills }: Scene): Promise<void> {
  await openTally(page, url);
  let open = page;
  const bibs: string[] = [];
  for (let n = 1; n <= kills; n += 1) {
    bibs.push(String(1000 + n));
    await tally(open, bibs.at(-1)!, 'rearfoot');
    await untilKept(open, 1);
    open = await reopened();
    await open.go(tallyAt(url));
    await takeStation(open);
    assert.deepEqual(
      (await kept(open)).map(({ bib }) => bib),
      bibs,
    );
  }
}

async function handIn({ page, hub, key }: Scene): Promise<void> {
  const headers = { authorization: `Bearer ${key}`, 'content-type': 'application/json' };
  const at = `${hub.url}/api/v1/races`;
  const made = await fetch(at, { method: 'POST', headers, body: JSON.stringify(RACE) });
  assert.equal(made.status, 201);
  const { codes } = (await made.json()) as { codes: { observer: string } };
  await page.go(`${hub.url}/join#${codes.observer}`);
  await page.press('Join', 'mouse');
  await takeStation(page);
  await tally(page, '511', 'rearfoot');
  await untilKept(page, 1);
  await hub.kill();
  await tally(page, '512', 'midfoot');
  await tally(page, '613', 'forefoot');
  await untilKept(page, 3);
  await page.shows('to hand in');
  await hub.start();
  // The tablet tries again by itself.
  const end = Date.now() + 60_000;
  let bibs: string[] = [];
  while (bibs.length < 3 && Date.now() < end) {
    await sleep(200);
    const answer = await fetch(`${at}/${RACE.id}/records?limit=100`, { headers });
    bibs = ((await answer.json()) as { records: { bib: string }[] }).records.map(({ bib }) => bib);
  }
  assert.deepEqual(bibs.sort(), ['511', '512', '613']);
}

async function screens({ page, url }: Scene): Promise<void> {
  await page.go(url);
  await page.press('Open the demo race', 'mouse');
  const race = await page.until('the demo race', () => /^\/races\/[^/]+/.exec(location.pathname)?.[0]);
  await page.go(`${url}${race}/check`);
  await page.shows('is not on the start list');
  await page.go(`${url}${race}/findings`);
  await page.until('a picture', () => document.querySelector('canvas') !== null);
  await page.run(() => document.querySelectorAll('details').forEach((one) => (one.open = true)));
  const drawn = await page.until('every picture to be drawn', () => {
    const all = [...document.querySelectorAll('canvas')];
    const isEmpty = (canvas: HTMLCanvasElement) => {
      canvas.scrollIntoView();
      if (canvas.width === 0 || canvas.height === 0) return true;
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      return new Uint32Array(data.buffer).every((pixel, _, pixels) => pixel === pixels[0]);
    };
    return all.some(isEmpty) ? 0 : all.length;
  });
  assert.ok(drawn >= 10, `${drawn} pictures`);
  const forPrint = await page.run(
    () =>
      [...document.styleSheets]
        .flatMap((sheet) => [...sheet.cssRules])
        .filter((rule) => rule instanceof CSSMediaRule && rule.media.mediaText === 'print').length,
  );
  assert.ok(forPrint > 0, 'there are styles for print');
  await page.go(`${url}${race}/export`);
  await page.press('Make the files', 'mouse');
  await page.shows('Save all as one zip file');
}

async function plainHttp({ page, plainUrl }: Scene): Promise<void> {
  if (plainUrl === null) return;
  await openTally(page, plainUrl);
  assert.equal(await page.run(() => isSecureContext), false);
  await tally(page, '512', 'rearfoot');
  await untilKept(page, 1);
  await page.go(tallyAt(plainUrl));
  await takeStation(page);
  await page.shows('1 tallied');
  // What the browser holds back at such an address is said.
  await page.go(`${plainUrl}/races/${RACE.id}/handoff`);
  await page.shows('Opening or reloading the page without network.');
}
