// How long 200 races take to pool once they are read, and what the correction adds to the analysis of a million sightings.
import { performance } from 'node:perf_hooks';
import { poolRaces } from '../../src/lib/findings/pool/pool-races.ts';
import { seededRandom } from '../../src/lib/records/seeded-random.ts';

const RACES = 200;
const TIMES = 7;

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** Invented counts of races of 60 to 900 runners. */
function inventedRaces() {
  const random = seededRandom(11);
  return Array.from({ length: RACES }, (_, i) => {
    const paired = 60 + Math.floor(840 * random());
    const changed = Math.floor(paired * (0.05 + 0.1 * random()));
    const gained = Math.round(changed * (0.4 + 0.4 * random()));
    return {
      ...{ race: `race ${i}`, early: 'Near', earlyKm: 5, late: 'Far', lateKm: 10 + Math.floor(30 * random()) },
      ...{ classified: paired, rearfoot: Math.round(paired * (0.75 + 0.2 * random())), paired, gained },
      ...{ lost: changed - gained, trend: { coefficient: 0.3 * (random() - 0.3), se: 0.05 + 0.2 * random() } },
      commonObservers: 1,
    };
  });
}

export default function pool() {
  const races = inventedRaces();
  const times = [];
  for (let run = 0; run < TIMES; run += 1) {
    const from = performance.now();
    poolRaces(races, null, 0.95);
    times.push(performance.now() - from);
  }
  return { races: RACES, medianMs: Math.round(median(times)), firstMs: Math.round(times[0]) };
}
