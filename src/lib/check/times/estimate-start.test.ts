import { describe, expect, it } from 'vitest';
import { EMPTY_CHECK_INPUT, type CheckInput, type CheckSighting } from '../input/check-input.ts';
import { estimateStart, guessStart } from './estimate-start.ts';

const START = Date.UTC(2026, 9, 4, 8);
const MINUTE = 60_000;

/** Runners 0, 1, … at km 5 and 10 at even pace, each with minutes per km of its own: the start follows by arithmetic. */
function evenPace(minutesPerKm: readonly number[], checkpoints: readonly number[]) {
  const sightings: CheckSighting[] = [];
  const bibOf: number[] = [];
  const kms = [5, 10];
  minutesPerKm.forEach((pace, bib) => {
    for (const checkpoint of checkpoints) {
      const atMs = START + kms[checkpoint]! * pace * MINUTE;
      const seen = { id: `${bib} ${checkpoint}`, checkpoint, bib: String(bib), observer: 'A', atMs };
      sightings.push({ ...seen, gait: 'run', left: 'midfoot', right: 'midfoot', method: 'live' });
      bibOf.push(bib);
    }
  });
  const input: CheckInput = {
    ...EMPTY_CHECK_INPUT,
    checkpoints: kms.map((km) => ({ id: `k${km}`, name: `km ${km}`, km })),
    sightings,
  };
  return { input, bibOf: Int32Array.from(bibOf), atMs: Float64Array.from(sightings, (s) => s.atMs) };
}

const noFinish = (bibs: number) => new Float64Array(bibs).fill(Number.NaN);

describe('estimateStart', () => {
  it('follows runners of two checkpoints back at even pace', () => {
    const { input, bibOf, atMs } = evenPace([4, 5, 6], [0, 1]);
    expect(estimateStart(input, bibOf, atMs, noFinish(3))).toBe(START);
  });

  it('takes the median, so that one wrong runner of three does not move it', () => {
    const { input, bibOf, atMs } = evenPace([4, 5, 6], [0, 1]);
    atMs[5] = atMs[5]! + 20 * MINUTE;
    expect(estimateStart(input, bibOf, atMs, noFinish(3))).toBe(START);
  });

  it('follows runners of one checkpoint back by their results', () => {
    const { input, bibOf, atMs } = evenPace([4, 5, 6], [0]);
    const results = [{ bib: '0', finishSeconds: 0 }];
    const finish = Float64Array.from([4, 5, 6], (pace) => 20 * pace * 60);
    expect(estimateStart({ ...input, raceKm: 20, results }, bibOf, atMs, finish)).toBe(START);
    expect(estimateStart({ ...input, raceKm: null, results }, bibOf, atMs, finish)).toBeNaN();
  });

  it('says nothing for two runners, or by what was not seen live', () => {
    const two = evenPace([4, 5], [0, 1]);
    expect(estimateStart(two.input, two.bibOf, two.atMs, noFinish(2))).toBeNaN();
    const { input, bibOf, atMs } = evenPace([4, 5, 6], [0, 1]);
    const clips = input.sightings.map((s) => ({ ...s, method: 'clip' as const }));
    expect(estimateStart({ ...input, sightings: clips }, bibOf, atMs, noFinish(3))).toBeNaN();
  });
});

describe('guessStart', () => {
  it('takes the earliest that live sightings point back to at 6 minutes per km', () => {
    const { input, atMs } = evenPace([6, 7], [0, 1]);
    expect(guessStart(input, atMs)).toBe(START);
    expect(guessStart({ ...input, sightings: [] }, new Float64Array())).toBeNaN();
  });
});
