import type { Page } from './page.ts';

/** The invented race of these tests. */
export const RACE = {
  id: '7d1f0c52-8f0e-4b7a-9d0c-3a5e5b1c2d41',
  name: 'Mill Valley Ten (invented)',
  date: '2026-10-04',
  checkpoints: [{ id: 'at-10', name: 'Mill Bridge', km: 10 }],
  observers: [{ code: 'N4', checkpoint: 'at-10', side: 'left' }],
};

export const tallyAt = (url: string): string => `${url}/races/${RACE.id}/tally`;

/** Opens Tally with a race that is put into the storage first, as observer N4. */
export async function openTally(page: Page, url: string, bibs: string[] = []): Promise<void> {
  await page.go(tallyAt(url));
  await page.shows('is not on this device');
  await page.run(
    async (race, bibs) => {
      const opening = indexedDB.open('kerbside');
      await new Promise((resolve) => (opening.onsuccess = resolve));
      const writing = opening.result.transaction(['races', 'startLists'], 'readwrite');
      writing.objectStore('races').put({ id: race.id, race, openedAt: Date.now() });
      writing.objectStore('startLists').put({ race: race.id, revision: 0, rows: bibs.map((bib) => ({ bib })) });
      await new Promise((resolve) => (writing.oncomplete = resolve));
      opening.result.close();
    },
    RACE,
    bibs,
  );
  await page.go(tallyAt(url));
  await takeStation(page);
}

/** Stands observer N4 there, unless the page knows that still. */
export async function takeStation(page: Page): Promise<void> {
  await page.until('the foot grid', () => {
    if (document.querySelector('[data-cell="both-rearfoot"]')) return true;
    const pressed = (selector: string, words: string) =>
      [...document.querySelectorAll<HTMLElement>(selector)]
        .find((one) => one.innerText.trim().startsWith(words))
        ?.click();
    pressed('button', 'N4');
    pressed('label', 'go away from me');
    pressed('button', 'Start tallying');
    return false;
  });
}

/**
 * A thumb on the page's own clock, so that a bounce is as quick as a bounce: keys by their words, cells of the grid as
 * `@both-rearfoot`; a number waits so many milliseconds, `kept 3` until so many records are kept.
 */
export function thumb(page: Page, ...steps: (string | number)[]): Promise<void> {
  return page.run(async (all) => {
    const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
    const buttons = () => [...document.querySelectorAll('button')];
    const named = (one: Element, word: string) =>
      one.querySelector('span')?.textContent === word || one.textContent.trim().replace(/^\W+/, '') === word;
    const key = (word: string): Element =>
      word.startsWith('@')
        ? document.querySelector(`[data-cell="${word.slice(1)}"]`)!
        : buttons().find((one) => named(one, word))!;
    const begun = performance.now();
    const pressed = new Map<string, number>();
    const press = async (word: string) => {
      // No two keys at once: what a key says may change with the one before. The same key at once would be a bounce.
      await pause(Math.max(8, 48 - (performance.now() - (pressed.get(word) ?? begun))));
      const event = new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' });
      pressed.set(word, event.timeStamp);
      key(word).dispatchEvent(event);
    };
    const kept = async (count: string) => {
      const main = document.querySelector('main')!;
      for (const end = performance.now() + 30_000; main.dataset['kept'] !== count; await pause(4)) {
        if (performance.now() > end) throw new Error(`${main.dataset['kept']} kept, not ${count}: ${main.innerText}`);
      }
    };
    for (const step of all) {
      if (typeof step === 'number') await pause(step);
      else if (step.startsWith('kept ')) await kept(step.slice(5));
      else await press(step);
    }
  }, steps);
}

/** Keeps one runner with both feet of one class. */
export const tally = (page: Page, bib: string, foot: string): Promise<void> => thumb(page, ...bib, `@both-${foot}`);

export async function untilKept(page: Page, count: number): Promise<void> {
  await page.until(
    `${count} records to be kept`,
    (wanted) => document.querySelector('main')?.dataset['kept'] === wanted,
    String(count),
  );
}

/** What the page's device holds, by `seq`. */
export async function kept(page: Page): Promise<{ seq: number; kind: string; bib: string; feet: string }[]> {
  return page.run(async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const reading = opening.result.transaction('records').objectStore('records').getAll();
    await new Promise((resolve) => (reading.onsuccess = resolve));
    opening.result.close();
    const rows = reading.result as {
      seq: number;
      record: { kind: string; bib?: string; left?: string; right?: string };
    }[];
    return rows
      .sort((a, b) => a.seq - b.seq)
      .map(({ seq, record: { kind, bib = '', left = '', right = '' } }) => ({
        seq,
        kind,
        bib,
        feet: `${left} ${right}`,
      }));
  });
}
