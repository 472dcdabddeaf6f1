import type { CheckInput } from '../input/check-input.ts';
import { PACE } from './pace-line.ts';
import { median } from './robust-line.ts';

/**
 * When the race started, milliseconds since 1970, where nobody says so: each runner seen at two checkpoints points back to
 * a start at even pace; else the results do. The median is a little early where runners slow down, which the lines between
 * the points take up. NaN where neither serves.
 *
 * @param bibOf for each sighting its bib's index or -1
 * @param atMs for each sighting its clock time after offsets
 * @param finishSeconds for each bib its finish time or NaN
 */
export function estimateStart(
  input: CheckInput,
  bibOf: Int32Array,
  atMs: Float64Array,
  finishSeconds: Float64Array,
): number {
  const bibs = finishSeconds.length;
  const points = input.checkpoints.length;
  const { checkpoints, raceKm } = input;
  const first = new Float64Array(bibs * points).fill(Number.NaN);
  for (let i = 0; i < atMs.length; i += 1) {
    if (bibOf[i]! < 0 || input.sightings[i]!.method !== 'live') continue;
    const at = bibOf[i]! * points + input.sightings[i]!.checkpoint;
    if (!(first[at]! <= atMs[i]!)) first[at] = atMs[i]!;
  }
  let best: number[] = [];
  let span = 0;
  for (let a = 0; a < points; a += 1) {
    for (let b = 0; b < points; b += 1) {
      const kmA = checkpoints[a]!.km;
      const kmB = checkpoints[b]!.km;
      if (kmB - kmA <= span) continue;
      const starts: number[] = [];
      for (let bib = 0; bib < bibs; bib += 1) {
        const tA = first[bib * points + a]!;
        const start = tA - (kmA * (first[bib * points + b]! - tA)) / (kmB - kmA);
        if (!Number.isNaN(start)) starts.push(start);
      }
      if (starts.length >= PACE.fewestStarts) [best, span] = [starts, kmB - kmA];
    }
  }
  if (best.length) return median(best);
  if (raceKm === null || !input.results) return Number.NaN;
  const starts: number[] = [];
  for (let bib = 0; bib < bibs; bib += 1) {
    for (let a = 0; a < points; a += 1) {
      const start = first[bib * points + a]! - (finishSeconds[bib]! * 1000 * checkpoints[a]!.km) / raceKm;
      if (!Number.isNaN(start)) starts.push(start);
    }
  }
  return starts.length >= PACE.fewestStarts ? median(starts) : Number.NaN;
}

/** A usual pace, to stand in for a start that nobody knows; common practice, no source. */
const GUESSED_MS_PER_KM = 6 * 60_000;

/** The earliest start that the live sightings point back to at a usual pace; NaN without one. */
export function guessStart(input: CheckInput, atMs: Float64Array): number {
  let earliest = Number.NaN;
  input.sightings.forEach((s, i) => {
    const start = atMs[i]! - input.checkpoints[s.checkpoint]!.km * GUESSED_MS_PER_KM;
    if (s.method === 'live' && !(earliest <= start)) earliest = start;
  });
  return earliest;
}
