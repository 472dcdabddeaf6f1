import { checkRace } from '../../src/lib/check/check-race.ts';
import { misreadField } from '../helpers/check/misread-field.mjs';

const ROUNDS = 7;

/** How long a check of a large race takes, the first run (code not yet warm) and the median of the later ones. */
export default async function check() {
  const kms = [5, 10, 21.1, 30, 36];
  const { input, misreadings } = misreadField({
    seed: 20_261_004,
    starters: 20_000,
    numbers: 26_667,
    errorShare: 0.02,
    points: kms.map((km) => ({ km, share: 0.6 })),
  });
  const milliseconds = [];
  let doubts = 0;
  for (let round = 0; round < ROUNDS; round += 1) {
    const from = performance.now();
    doubts = checkRace(input).length;
    milliseconds.push(performance.now() - from);
  }
  const [first, ...later] = milliseconds;
  later.sort((a, b) => a - b);
  return {
    starters: 20_000,
    sightings: input.sightings.length,
    misreadings: misreadings.length,
    doubts,
    firstRunMilliseconds: Math.round(first ?? 0),
    medianMilliseconds: Math.round(later[later.length >> 1] ?? 0),
    targetMilliseconds: 1000,
  };
}
