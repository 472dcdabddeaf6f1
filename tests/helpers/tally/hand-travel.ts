import type { Page } from '@playwright/test';
import { demoRace } from '../../../src/lib/demo/demo-race.ts';

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** Where the keys of the Tally screen are: digits, and the cells of the grid by `both-rearfoot`. */
async function spots(page: Page): Promise<ReadonlyMap<string, Spot>> {
  const found = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('.digit, [data-cell]')].map((key): [string, Spot] => {
      const { x, y, width, height } = key.getBoundingClientRect();
      return [key.dataset['cell'] ?? key.textContent.trim(), { x: x + width / 2, y: y + height / 2 }];
    }),
  );
  return new Map(found);
}

/**
 * How far a thumb travels a runner of the invented demo race, from key to key, in CSS pixels: on the screen as it is, and with
 * rearfoot and forefoot in each other's rows.
 */
export async function handTravel(page: Page) {
  const keys = await spots(page);
  const runners = demoRace().records.flatMap((record) =>
    record.kind === 'sighting' && record.bib !== null && record.gait !== 'walk' ? [record] : [],
  );
  const along = (nameOf: (foot: string) => string) => {
    let [travelled, at] = [0, undefined as Spot | undefined];
    for (const { bib, left, right } of runners) {
      const feet = left === right ? [`both-${nameOf(left)}`] : [`left-${nameOf(left)}`, `right-${nameOf(right)}`];
      for (const name of [...bib!, ...feet]) {
        const key = keys.get(name);
        if (!key) continue;
        if (at) travelled += Math.hypot(key.x - at.x, key.y - at.y);
        at = key;
      }
    }
    return Math.round(travelled / runners.length);
  };
  const swapped: Record<string, string> = { rearfoot: 'forefoot', forefoot: 'rearfoot' };
  return {
    runners: runners.length,
    rearfootShare: Number((runners.filter(({ left }) => left === 'rearfoot').length / runners.length).toFixed(3)),
    asItIsPx: along((foot) => foot),
    rearfootAndForefootExchangedPx: along((foot) => swapped[foot] ?? foot),
  };
}
