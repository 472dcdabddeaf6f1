import { describe, expect, it } from 'vitest';
import { seededRandom } from '../records/seeded-random.ts';
import { COARSE, PassageFinder, type FoundPassage } from './find-passages.ts';

const FPS = 240;
const EVERY = 10;

/** A figure of 5 by 12 cells that crosses the picture, from one frame to another; `x` may turn back. */
interface Figure {
  readonly from: number;
  readonly to: number;
  readonly grey: number;
  readonly x?: (share: number) => number;
}

/** Pictures with figures in them, noise, and light that comes and goes. All invented; where figures are is known. */
function search(frames: number, figures: readonly Figure[], { noise = 0, light = 0 } = {}): FoundPassage[] {
  const random = seededRandom(11);
  const finder = new PassageFinder();
  for (let frame = 0; frame < frames; frame += EVERY) {
    const shade = light * Math.sin(frame / 200);
    const grey = Uint8Array.from({ length: COARSE.width * COARSE.height }, (_, cell) => {
      const [x, y] = [cell % COARSE.width, Math.floor(cell / COARSE.width)];
      const on = figures.find((one) => {
        const share = (frame - one.from) / (one.to - one.from);
        const at = (one.x ?? ((s) => s * (COARSE.width + 5) - 5))(share);
        return share >= 0 && share <= 1 && x >= at && x < at + 5 && y >= 8 && y < 20;
      });
      return (on?.grey ?? 120 + (x % 7) * 6) + shade + (random() - 0.5) * 2 * noise;
    });
    finder.push({ frame, seconds: frame / FPS, grey });
  }
  return finder.found(true);
}

const isIn = (found: readonly FoundPassage[], { from, to }: Figure) =>
  found.filter((one) => one.from <= (from + to) / 2 && one.to >= (from + to) / 2).length;

describe('where runners pass', () => {
  const few = [300, 700, 810, 1500].map((from, i) => ({ from, to: from + 260, grey: i % 2 ? 30 : 220 }));

  it.each([
    ['on a still picture', {}],
    ['in noise', { noise: 12 }],
    ['while light comes and goes', { noise: 6, light: 18 }],
  ])('finds each and nothing else %s', (_, options) => {
    const found = search(2000, few, options);
    for (const figure of few) expect(isIn(found, figure)).toBe(1);
    expect(found.length).toBeLessThanOrEqual(few.length);
  });

  it('tells whoever is in the picture as it starts, and as it ends', () => {
    const ends = [
      { from: -130, to: 130, grey: 30 },
      { from: 1400, to: 1660, grey: 30 },
    ];
    expect(search(1600, ends)).toHaveLength(2);
  });

  it('takes no leaf in the wind and no flicker for a runner', () => {
    const leaf = { from: 200, to: 1800, grey: 200, x: (share: number) => 23 + 1.5 * Math.sin(share * 30) };
    expect(search(2000, [leaf])).toEqual([]);
    expect(search(1500, [{ from: 995, to: 1005, grey: 30, x: () => 22 }], { noise: 10 })).toEqual([]);
    expect(search(1500, [], { noise: 20, light: 20 })).toEqual([]);
  });

  it('has nothing to say of no pictures', () => {
    expect(new PassageFinder().found(true)).toEqual([]);
  });
});
