import { describe, expect, it } from 'vitest';
import type { Foot } from '../../../records/foot.ts';
import { SightingTableBuilder } from '../../../sightings/sighting-table.ts';
import { resolveRace } from '../../resolved-race.ts';
import { drawValidation, validationStates } from './validation-draw.ts';

/** 200 runners read rearfoot, 20 midfoot, 4 forefoot; the first clips of them are there. */
function raceWith(clips: readonly string[]) {
  const builder = new SightingTableBuilder();
  const add = (bib: string, foot: Foot, method: 'live' | 'clip') =>
    builder.add({
      ...{ recordId: `${bib}-${method}`, checkpoint: 'Ford', km: 5, bib, gait: 'run', left: foot, right: foot },
      ...{ observer: method === 'live' ? 'A' : 'B', method, observedAtMs: 0 },
    });
  for (let i = 0; i < 224; i += 1) add(String(i), i < 200 ? 'rearfoot' : i < 220 ? 'midfoot' : 'forefoot', 'live');
  for (const bib of clips) add(bib, 'rearfoot', 'clip');
  return resolveRace(builder.build(), 'exclude');
}

describe('the draw', () => {
  it('takes a tenth of rearfoot and more of the rarer classes, none twice, the same for the same seed', () => {
    const drawn = drawValidation(raceWith([]), 0, 42);
    const of = (name: string) => drawn.filter(({ live }) => live === name).length;
    expect([of('rearfoot'), of('midfoot'), of('forefoot'), of('asymmetric')]).toEqual([20, 12, 4, 0]);
    expect(new Set(drawn.map(({ bib }) => bib)).size).toBe(36);
    expect(drawValidation(raceWith([]), 0, 42)).toEqual(drawn);
    expect(drawValidation(raceWith([]), 0, 43)).not.toEqual(drawn);
  });

  it('gives every runner of a class the same chance (by hand: 1 in 10 of 200, over 400 draws 40 ± 4 standard errors)', () => {
    const race = raceWith([]);
    const times = new Array<number>(200).fill(0);
    for (let seed = 0; seed < 400; seed += 1) {
      for (const { bib, live } of drawValidation(race, 0, seed)) if (live === 'rearfoot') times[Number(bib)]! += 1;
    }
    expect(times.reduce((sum, count) => sum + count, 0)).toBe(400 * 20);
    for (const count of times) expect(Math.abs(count - 40)).toBeLessThan(4.5 * Math.sqrt(400 * 0.1 * 0.9));
  });

  it('is ticked off by clips; a clip of a runner whom no draw has is told apart', () => {
    const draw = { checkpoint: 'Ford', seed: 1, drawnAt: '2031-03-02T20:00:00Z' };
    const runners = [
      { bib: '3', live: 'rearfoot' as const },
      { bib: '201', live: 'midfoot' as const },
    ];
    const [state] = validationStates(raceWith(['3', '7']), [{ ...draw, runners }], [0]);
    expect(state!.draws[0]!.runners.map(({ reviewed }) => reviewed)).toEqual([true, false]);
    expect(state!.beyond).toEqual(['7']);
    expect(state!.read).toEqual([200, 20, 4, 0]);
  });
});
