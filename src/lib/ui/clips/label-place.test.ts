import { expect, it } from 'vitest';
import { labelPlace } from './label-place.ts';
import type { Spot } from './point-placing.svelte.ts';

const picture = { width: 960, height: 540, letters: 20 };
const leg = { heel: [400, 480], toe: [450, 470], knee: [410, 380], ankle: [405, 450] } satisfies Record<string, Spot>;
const placed = (name: string, all: Readonly<Record<string, Spot>>) => labelPlace(name, all[name]!, all, picture);

it('names the heel and the toe outwards below the shoe, knee and ankle above', () => {
  const [heel, toe] = [placed('heel', leg), placed('toe', leg)];
  expect(heel.anchor).toBe('end');
  expect(heel.x).toBeLessThan(400);
  expect(heel.y).toBeGreaterThan(480);
  expect(toe.anchor).toBe('start');
  expect(toe.x).toBeGreaterThan(450);
  expect(placed('ankle', leg).y).toBeLessThan(450);
  expect(placed('knee', leg).y).toBeLessThan(380);
});

it('stays in the picture at its edges, with no two names of the shoe in one place', () => {
  const left = { ...leg, heel: [5, 480], toe: [30, 480] } satisfies Record<string, Spot>;
  expect(placed('heel', left)).toMatchObject({ anchor: 'start' });
  expect(placed('heel', left).y).toBeGreaterThan(placed('toe', left).y + picture.letters);
  const low = { ...leg, heel: [400, 535], toe: [450, 535] } satisfies Record<string, Spot>;
  expect(placed('heel', low).y).toBeLessThan(535);
});
