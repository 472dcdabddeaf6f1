import { describe, expect, it } from 'vitest';
import { measureMisreadings } from '../../../tests/helpers/check/measure-misreadings.mjs';
import { drawnTable } from '../../../tests/helpers/check/misread-field.mjs';
import { checkRace } from './check-race.ts';

describe('the misread model on simulated fields', () => {
  // A smaller run of the benchmark: these six fields scatter by about 0.02.
  it('puts the right bib first in four of five and among three in 19 of 20', () => {
    const figures = measureMisreadings(checkRace, { seed: 20_261_004, fields: 6 });
    expect(figures.unlisted.misreadings).toBeGreaterThan(200);
    expect(figures.unlisted.firstShare).toBeGreaterThanOrEqual(0.8);
    expect(figures.unlisted.firstThreeShare).toBeGreaterThanOrEqual(0.95);
    expect(figures.onTheList.doubtedShare).toBeGreaterThanOrEqual(0.6);
    // Right readings that are doubted cost the lead's half hour.
    expect(figures.doubtsOnRightSightings / figures.sightings).toBeLessThan(0.001);
  });

  it('learns what no table foresees: near to a scorer that knows all that made the field', () => {
    const tables = (field: number) => drawnTable(20_261_004 + field);
    const { unlisted } = measureMisreadings(checkRace, { seed: 20_261_004, fields: 4, tables });
    expect(unlisted.firstShare).toBeGreaterThanOrEqual(0.9 * unlisted.knowingFirstShare);
    expect(unlisted.firstThreeShare).toBeGreaterThanOrEqual(0.95 * unlisted.knowingFirstThreeShare);
  });

  it('does less without times', () => {
    const figures = measureMisreadings(checkRace, { seed: 20_261_004, fields: 3, timed: false });
    expect(figures.unlisted.firstThreeShare).toBeGreaterThanOrEqual(0.75);
    expect(figures.unlisted.firstShare).toBeLessThan(0.8);
  });
});
