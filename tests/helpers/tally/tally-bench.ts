import type { CDPSession, Page } from '@playwright/test';
import { TALLY_RACE } from './tally-race.ts';

/** Adds `count` own sightings to the race in the browser's storage, as so many taps would have left them. */
export async function fillWithOwnRecords(page: Page, count: number): Promise<void> {
  await page.evaluate(
    async ({ race, count }) => {
      const opening = indexedDB.open('kerbside');
      await new Promise((resolve) => (opening.onsuccess = resolve));
      const db = opening.result;
      const hex = (n: number, digits: number) => n.toString(16).padStart(digits, '0');
      const device = '01990000-0000-7000-8000-00000000abcd';
      for (let from = 1; from <= count; from += 5000) {
        const writing = db.transaction(['records', 'counters'], 'readwrite');
        const rows = writing.objectStore('records');
        for (let seq = from; seq < from + 5000 && seq <= count; seq += 1) {
          const at = 1_790_000_000_000 + seq * 500;
          const id = `${hex(at, 12).slice(0, 8)}-${hex(at, 12).slice(8)}-7000-8000-${hex(seq, 12)}`;
          const bib = String(1000 + (seq % 9000));
          const record = {
            ...{ id, kind: 'sighting', race, observer: 'N4', device, seq, madeAt: new Date(at).toISOString() },
            ...{ checkpoint: 'at-10', bib, left: 'rearfoot', right: 'rearfoot', method: 'live' },
            observedAt: new Date(at).toISOString(),
          };
          rows.put({ id, race, seq, tallied: seq, bib, record });
        }
        writing.objectStore('counters').put({
          ...{ race, device, handedIn: [], savedSeq: 0, pulled: 0, blocks: 0 },
        });
        await new Promise((resolve, reject) => {
          writing.oncomplete = resolve;
          writing.onabort = () => reject(writing.error);
        });
      }
      db.close();
    },
    { race: TALLY_RACE, count },
  );
}

export interface TapTimes {
  /** From the finger going down until the page hears of it, milliseconds: the browser's own part. */
  inputMs: number[];
  /** From the finger going down to the commit being known on the page, milliseconds. */
  durableMs: number[];
  /** From the finger going down until the frame with the feedback has been painted, milliseconds. */
  paintedMs: number[];
}

/** Makes the page note when a finger went down and when the feedback of its record was durable and painted. */
export async function watchTaps(page: Page): Promise<void> {
  await page.evaluate(() => {
    const times = { inputMs: [] as number[], durableMs: [] as number[], paintedMs: [] as number[] };
    Object.assign(window, { tapTimes: times, onPainted: () => undefined });
    let downAt = 0;
    window.addEventListener(
      'pointerdown',
      (event) => {
        if (!(event.target as Element).closest('[data-cell]')) return;
        downAt = event.timeStamp;
        times.inputMs.push(performance.now() - downAt);
      },
      { capture: true },
    );
    new MutationObserver(() => {
      const from = downAt;
      times.durableMs.push(performance.now() - from);
      requestAnimationFrame(() => {
        // Runs as soon as the frame has been handed over. A message would come later: after the counts and the last five,
        // which the screen draws when the feedback is painted.
        const painted = () => {
          times.paintedMs.push(performance.now() - from);
          setTimeout(() => (window as unknown as { onPainted: () => void }).onPainted());
        };
        void scheduler.postTask(painted, { priority: 'user-blocking' });
      });
    }).observe(document.querySelector('main')!, { attributeFilter: ['data-kept'] });
  });
}

/** No thumb is faster from the bib pad to the feet. */
const THUMB_TRAVELS_MS = 120;
/** Nor does one come up again sooner. */
const THUMB_PRESSES_MS = 60;

/**
 * A tap as the browser's own gestures make it. `Input.dispatchTouchEvent` would have the page draw a frame before the
 * touch is sent, which no finger does: the tap would be dated before that frame, and the next one come later for it.
 */
async function tap(devtools: CDPSession, x: number, y: number): Promise<void> {
  await devtools.send('Input.synthesizeTapGesture', {
    ...{ x: Math.round(x), y: Math.round(y), duration: THUMB_PRESSES_MS, gestureSourceType: 'touch' as const },
  });
}

/** Taps `count` runners with a bib of four digits typed before each, and returns their times. */
export async function timeTaps(page: Page, count: number): Promise<TapTimes> {
  await page.evaluate(() => {
    const { tapTimes } = window as unknown as { tapTimes: TapTimes };
    tapTimes.inputMs.length = 0;
    tapTimes.durableMs.length = 0;
    tapTimes.paintedMs.length = 0;
  });
  const box = (await page.locator('[data-cell="both-rearfoot"]').boundingBox())!;
  const devtools = await page.context().newCDPSession(page);
  for (let n = 0; n < count; n += 1) {
    await page.keyboard.type(String(1000 + n));
    // Asked for before the tap: asking during it would take the page's time.
    const painted = page.evaluate(
      () => new Promise<void>((resolve) => Object.assign(window, { onPainted: () => resolve() })),
    );
    await page.waitForTimeout(THUMB_TRAVELS_MS);
    await Promise.all([painted, tap(devtools, box.x + box.width / 2, box.y + box.height / 2)]);
  }
  await devtools.detach();
  return page.evaluate(() => structuredClone((window as unknown as { tapTimes: TapTimes }).tapTimes));
}

/**
 * From the finger going down until one changed word is painted, on a page that has nothing else and keeps nothing: what
 * this browser on this machine takes at least. Milliseconds.
 */
export async function timeBareTaps(page: Page, count: number): Promise<number[]> {
  await page.setContent('<meta name="viewport" content="width=device-width"><button>tap</button>');
  await page.evaluate(() => {
    const times: number[] = [];
    const button = document.querySelector('button')!;
    Object.assign(window, { bareTaps: times });
    button.addEventListener('touchstart', (event) => event.preventDefault(), { passive: false });
    button.addEventListener('pointerdown', (event) => {
      button.textContent = String(times.length);
      const painted = () => times.push(performance.now() - event.timeStamp);
      requestAnimationFrame(() => void scheduler.postTask(painted, { priority: 'user-blocking' }));
    });
  });
  const warmUp = 10;
  const box = (await page.locator('button').boundingBox())!;
  const devtools = await page.context().newCDPSession(page);
  for (let n = 0; n < warmUp + count; n += 1) {
    await tap(devtools, box.x + box.width / 2, box.y + box.height / 2);
    await page.waitForTimeout(THUMB_TRAVELS_MS);
  }
  await devtools.detach();
  return page.evaluate((from) => (window as unknown as { bareTaps: number[] }).bareTaps.slice(from), warmUp);
}

/** Times of `count` single writes in strict transactions of a database that holds nothing else, milliseconds. */
export function timeBareWrites(page: Page, count: number): Promise<number[]> {
  return page.evaluate(async (count) => {
    const opening = indexedDB.open('bare');
    opening.onupgradeneeded = () => opening.result.createObjectStore('rows', { autoIncrement: true });
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const times: number[] = [];
    for (let n = 0; n < count; n += 1) {
      const from = performance.now();
      const writing = opening.result.transaction('rows', 'readwrite', { durability: 'strict' });
      writing.objectStore('rows').add({ n, text: 'a row about as long as the record of one tap is '.repeat(6) });
      await new Promise((resolve) => (writing.oncomplete = resolve));
      times.push(performance.now() - from);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    opening.result.close();
    return times;
  }, count);
}

/** The value below which the share `q` of the sorted numbers lies (nearest rank). */
export function quantileOf(numbers: readonly number[], q: number): number {
  const sorted = numbers.toSorted((a, b) => a - b);
  return Number(sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(q * sorted.length) - 1))]!.toFixed(2));
}

/**
 * Taps both feet with *no bib* chosen at a steady pace from within the page, and says whether every record is there in the
 * order of the taps.
 */
export async function tapSteadily(page: Page, perSecond: number, seconds: number) {
  const before = Number(await page.locator('main').getAttribute('data-kept'));
  const tapped = perSecond * seconds;
  await page.evaluate(
    async ({ tapped, everyMs }) => {
      const cells = ['rearfoot', 'midfoot', 'forefoot'].map((foot) =>
        document.querySelector<HTMLElement>(`[data-cell="both-${foot}"]`)!,
      );
      const noBib = [...document.querySelectorAll('button')].find((b) => b.textContent.trim() === 'No bib')!;
      const down = (target: HTMLElement) =>
        target.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
      const from = performance.now();
      for (let n = 0; n < tapped; n += 1) {
        // Never closer than a thumb can tap: two taps of one key within 40 ms count as one.
        const wait = Math.max(60, from + n * everyMs - performance.now());
        await new Promise((resolve) => setTimeout(resolve, wait));
        down(noBib);
        down(cells[n % 3]!);
      }
    },
    { tapped, everyMs: 1000 / perSecond },
  );
  await page.locator(`main[data-kept="${before + tapped}"]`).waitFor({ timeout: 30_000 });
  return page.evaluate(
    async ({ race, tapped }) => {
      const opening = indexedDB.open('kerbside');
      await new Promise((resolve) => (opening.onsuccess = resolve));
      const index = opening.result.transaction('records').objectStore('records').index('[race+seq]');
      const reading = index.getAll(IDBKeyRange.bound([race, 0], [race, Infinity]));
      await new Promise((resolve) => (reading.onsuccess = resolve));
      opening.result.close();
      const rows = (reading.result as { seq: number; record: { left: string } }[]).slice(-tapped);
      const feet = ['rearfoot', 'midfoot', 'forefoot'];
      const first = rows[0]!.seq;
      return {
        tapped,
        kept: rows.length,
        outOfOrder: rows.filter((row, n) => row.seq !== first + n || row.record.left !== feet[n % 3]).length,
      };
    },
    { race: TALLY_RACE, tapped },
  );
}
