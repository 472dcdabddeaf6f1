import { describe, expect, it } from 'vitest';
import { leastHumanSeconds } from './human-pace.ts';

describe('the fastest a human covers a stretch', () => {
  it.each([
    // World bests, from memory: kilometres and seconds. The bound must not call them impossible, nor be far below them.
    [0.1, 9.58],
    [0.4, 43.03],
    [1.5, 206],
    [5, 755.36],
    [10, 1571],
    [42.195, 7235],
  ])('lets the best over %s km through', (km, best) => {
    expect(leastHumanSeconds(km)).toBeLessThan(best);
    expect(leastHumanSeconds(km)).toBeGreaterThan(best * 0.95);
  });

  it('grows with the distance and is 0 for none', () => {
    expect(leastHumanSeconds(0)).toBe(0);
    let before = 0;
    for (let km = 0.05; km < 200; km *= 1.1) {
      expect(leastHumanSeconds(km)).toBeGreaterThan(before);
      before = leastHumanSeconds(km);
    }
  });
});
