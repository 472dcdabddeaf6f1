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
  readonly newTab: () => Promise<Page>;
}

/** What happens to a browser whose storage is on the disk. */
export interface MortalScene {
  readonly page: Page;
  readonly url: string;
  /** How often the browser is killed. */
  readonly kills: number;
  /** The page of the browser once it was killed and opened again. */
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
  'join by code, hand in to a hub that dies': handIn,
  'Check, every picture of Findings, Export, print': screens,
  'left while it reads': leftWhileItReads,
  'plain http': plainHttp,
};

/** The browser is killed as soon as the screen says that the last of a few runners is kept. */
export const KILLED = 'killed right after a tap';
export async function killedAfterTap({ page, url, kills, reopened }: MortalScene): Promise<void> {
  await openTally(page, url);
  let open = page;
  const bibs: string[] = [];
  for (let kill = 0; kill < kills; kill += 1) {
    const next = [1, 2, 3].map((runner) => String(1000 + 10 * kill + runner));
    await thumb(open, ...next.flatMap((bib, i) => [...bib, '@both-rearfoot', `kept ${i + 1}`]));
    bibs.push(...next);
    open = await reopened();
    await open.go(tallyAt(url));
    await takeStation(open);
    assert.deepEqual(
      (await kept(open)).map(({ bib }) => bib),
      bibs,
    );
  }
}

async function sixtyRunners({ page, url }: Scene): Promise<void> {
  const list = Array.from({ length: 60 }, (_, n) => bibOf(n));
  await openTally(page, url, list);
  // The engine's own input first: keys must answer to more than made-up events.
  for (const digit of bibOf(0)) await page.press(digit);
  await page.press(`[data-cell="both-${classOf(0)}"]`);
  await untilKept(page, 1);
  const steps = (n: number): (string | number)[] => {
    const cell = `@both-${classOf(n)}`;
    // The class key bounces; the feet come first; the runner is lined up.
    if (n % 15 === 3) return [...bibOf(n), cell, 60, cell];
    if (n % 15 === 7) return [700, cell, ...bibOf(n)];
    if (n % 15 === 11) return [...bibOf(n), 'Line up', 700, cell];
    return [...bibOf(n), cell];
  };
  for (let from = 1; from < 60; from += 10) {
    const next = Array.from({ length: Math.min(10, 60 - from) }, (_, i) => from + i);
    await thumb(page, ...next.flatMap((n) => [...steps(n), `kept ${n + 1}`]));
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
      const { port1, port2 } = new MessageChannel();
      const tick = () =>
        new Promise((resolve) => {
          port1.onmessage = resolve;
          port2.postMessage(null);
        });
      const all = async () => {
        for (let bib = from; bib < from + 20; bib += 1) {
          for (const digit of String(bib)) {
            [...document.querySelectorAll('button')].find((one) => one.textContent.trim() === digit)?.click();
          }
          document.querySelector<HTMLElement>('[data-cell="both-rearfoot"]')?.click();
          // A tab that nobody sees has slow clocks, but messages arrive at once.
          for (const end = performance.now() + 10; performance.now() < end;) await tick();
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

async function handIn({ page, hub, key }: Scene): Promise<void> {
  const headers = { authorization: `Bearer ${key}`, 'content-type': 'application/json' };
  const at = `${hub.url}/api/v1/races`;
  const made = await fetch(at, { method: 'POST', headers, body: JSON.stringify(RACE) });
  assert.equal(made.status, 201);
  const { codes } = (await made.json()) as { codes: { observer: string } };
  await page.go(`${hub.url}/join#${codes.observer}`);
  await page.click('Join');
  await takeStation(page);
  const atHub = async (): Promise<string[]> => {
    const answer = await fetch(`${at}/${RACE.id}/records?limit=100`, { headers });
    return ((await answer.json()) as { records: { bib: string }[] }).records.map(({ bib }) => bib).sort();
  };
  let bibs: string[] = [];
  // It dies while the tablet hands in, and again; the tablet tries by itself.
  for (let death = 1; death <= 2; death += 1) {
    for (let n = 1; n <= 5; n += 1) {
      bibs = [...bibs, String(500 * death + n)];
      await tally(page, bibs.at(-1)!, 'rearfoot');
      if (n === 2) await hub.kill();
    }
    await untilKept(page, bibs.length);
    await page.shows('to hand in');
    await hub.start();
  }
  const end = Date.now() + 60_000;
  while ((await atHub()).length < bibs.length && Date.now() < end) await sleep(200);
  assert.deepEqual(await atHub(), bibs.sort());
}

async function screens({ page, url }: Scene): Promise<void> {
  await page.go(url);
  await page.click('Open the demo race');
  const race = await page.until('the demo race', () => /^\/races\/[^/]+/.exec(location.pathname)?.[0]);
  await check(page, `${url}${race}/check`);
  await findings(page, `${url}${race}/findings`);
  await exporting(page, `${url}${race}/export`);
}

/** One doubt is settled, and comes back when the decision is taken back. */
async function check(page: Page, url: string): Promise<void> {
  await page.go(url);
  await page.shows('is not on the start list');
  const count = (words: string) =>
    page.run((words) => {
      const all = [...document.querySelectorAll('button')].map((one) => one.textContent.trim().replace(/\s+/g, ' '));
      return Number(all.find((one) => one.startsWith(`${words} `))?.slice(words.length));
    }, words);
  const shows = async (words: string, wanted: number) => {
    for (const end = Date.now() + 30_000; (await count(words)) !== wanted; await sleep(50)) {
      assert.ok(Date.now() < end, `${words}: ${await count(words)}, not ${wanted}`);
    }
  };
  const before = await count('All');
  await page.click('Keep the latest: accept');
  await page.until('the question for the lead’s code', () => {
    const field = document.querySelector<HTMLInputElement>('form.caution input');
    if (field) field.value = 'Lead';
    return field?.dispatchEvent(new Event('input', { bubbles: true }));
  });
  await page.click('Decide in this name');
  await shows('Settled', 1);
  await shows('All', before - 1);
  await page.click('Settled 1');
  await page.click('Take back');
  await shows('Settled', 0);
  await shows('All', before);
}

async function findings(page: Page, url: string): Promise<void> {
  await page.go(url);
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
  const hidden = await page.run(() => {
    const rules = [...document.styleSheets]
      .flatMap((sheet) => [...sheet.cssRules])
      .filter((rule) => rule instanceof CSSMediaRule && rule.media.mediaText === 'print')
      .flatMap((rule) => [...(rule as CSSMediaRule).cssRules]);
    const nav = document.querySelector('nav')!;
    return rules.some(
      (rule) => rule instanceof CSSStyleRule && rule.style.display === 'none' && nav.closest(rule.selectorText),
    );
  });
  assert.ok(hidden, 'the bar of the race is left out on paper');
  const pdf = await page.driver.print?.();
  // A page with nothing on it takes some 1,000 bytes.
  if (pdf !== undefined) assert.ok(Buffer.from(pdf, 'base64').length > 50_000, 'findings are printed');
}

async function exporting(page: Page, url: string): Promise<void> {
  await page.go(url);
  await page.click('Make the files');
  await page.shows('Save all as one zip file');
}

/** A page that is put away in the middle of reading or writing must not hold up those after it. */
async function leftWhileItReads({ page, url }: Scene): Promise<void> {
  await page.go(url);
  await page.click('Open the demo race');
  const race = await page.until('the demo race', () => /^\/races\/[^/]+/.exec(location.pathname)?.[0]);
  const screens = ['findings', 'check', 'entries', 'handoff', 'setup', 'tally'];
  // Each is left as soon as it has begun: not a time that is waited for, but as it comes.
  for (let turn = 0; turn < 18; turn += 1) await page.go(`${url}${race}/${screens[turn % screens.length]}`);
  await page.until('a record of its own to be written', async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const all = [...opening.result.objectStoreNames];
    const writing = opening.result.transaction(all, 'readwrite');
    const written = new Promise<boolean>((resolve) => (writing.oncomplete = () => resolve(true)));
    for (const name of all) writing.objectStore(name).count();
    const late = new Promise<boolean>((resolve) => setTimeout(() => resolve(false), 20_000));
    const inTime = await Promise.race([written, late]);
    opening.result.close();
    return inTime;
  });
}

async function plainHttp({ page, plainUrl }: Scene): Promise<void> {
  if (plainUrl === null)
    return console.log('    this machine has no name of its own for itself: plain http was not tried');
  await openTally(page, plainUrl);
  assert.equal(await page.run(() => isSecureContext), false);
  await tally(page, '512', 'rearfoot');
  await untilKept(page, 1);
  await page.go(tallyAt(plainUrl));
  await takeStation(page);
  await page.shows('1 tallied');
  // A runner who is half entered outlives the page.
  await thumb(page, ...'613');
  await page.until('the digits to be kept', async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const reading = opening.result.transaction('settings').objectStore('settings').getAll();
    await new Promise((resolve) => (reading.onsuccess = resolve));
    opening.result.close();
    return JSON.stringify(reading.result).includes('613');
  });
  await page.go(tallyAt(plainUrl));
  await takeStation(page);
  await page.shows('613');
  // What the browser holds back at such an address is said.
  await page.go(`${plainUrl}/races/${RACE.id}/handoff`);
  await page.shows('Opening or reloading the page without network.');
}
