// How long 200 races take to pool once they are read, and what the correction adds to the analysis of a million sightings.
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import { poolRaces } from '../../src/lib/findings/pool/pool-races.ts';
import { resolveRace } from '../../src/lib/findings/resolved-race.ts';
import { correctedOf } from '../../src/lib/findings/sections/corrected/figures.ts';
import { seededRandom } from '../../src/lib/records/seeded-random.ts';
import { SightingTableBuilder } from '../../src/lib/sightings/sighting-table.ts';

const RACES = 200;
const SIGHTINGS = 1_000_000;
const TIMES = 7;

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** Medians over some runs: by the clock, and of processor time, which a busy machine does not stretch. */
function measured(work) {
  const runs = Array.from({ length: TIMES }, () => {
    const [from, cpu] = [performance.now(), process.cpuUsage()];
    work();
    const { user, system } = process.cpuUsage(cpu);
    return { ms: performance.now() - from, cpuMs: (user + system) / 1000 };
  });
  return {
    ms: Math.round(median(runs.map(({ ms }) => ms))),
    cpuMs: Math.round(median(runs.map(({ cpuMs }) => cpuMs))),
  };
}

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
      ...{ commonObservers: 1, identity: null },
    };
  });
}

/** Invented sightings: two checkpoints, two observers, every fifth runner on clip too. */
function largeRace(sightings) {
  const random = seededRandom(12);
  const builder = new SightingTableBuilder();
  const feet = ['rearfoot', 'rearfoot', 'rearfoot', 'rearfoot', 'rearfoot', 'midfoot', 'forefoot'];
  const foot = () => feet[Math.floor(random() * feet.length)];
  const runners = Math.round(sightings / 2.4);
  let records = 0;
  const add = (bib, place, method, left, right) =>
    builder.add({
      ...{
        recordId: `r${(records += 1)}`,
        checkpoint: place === 0 ? 'Near' : 'Far',
        km: 5 + 20 * place,
        bib: String(bib),
      },
      ...{ gait: 'run', left, right, observer: method === 'clip' ? 'C' : `L${bib % 2}`, method, observedAtMs: records },
    });
  for (let bib = 0; bib < runners; bib += 1) {
    for (const place of [0, 1]) {
      const [left, right] = [foot(), foot()];
      add(bib, place, 'live', left, random() < 0.9 ? left : right);
      if (bib % 5 === 0) add(bib, place, 'clip', left, left);
    }
  }
  return resolveRace(builder.build(), 'exclude');
}

/** A practice set of 80 items that both live observers answered. */
function practiceSet() {
  const random = seededRandom(13);
  const classes = ['rearfoot', 'midfoot', 'forefoot'];
  return Array.from({ length: 80 }, (_, i) => {
    const key = i % 4 < 3 ? [classes[i % 4], classes[i % 4]] : ['rearfoot', 'midfoot'];
    return ['L0', 'L1'].map((observer) => {
      const [left, right] = random() < 0.93 ? key : ['midfoot', 'midfoot'];
      return { item: `item ${i}`, observer, keyLeft: key[0], keyRight: key[1], left, right };
    });
  }).flat();
}

function correction() {
  const race = largeRace(SIGHTINGS);
  const practice = practiceSet();
  const options = { early: 0, late: 1, level: 0.95, singleFoot: 'exclude' };
  const timed = (answers) => measured(() => correctedOf(race, answers, options));
  return { sightings: race.table.size, validation: timed(null), validationAndPractice: timed(practice) };
}

export default function pool() {
  const races = inventedRaces();
  return { races: RACES, pooling: measured(() => poolRaces(races, null, 0.95)), correction: correction() };
}
