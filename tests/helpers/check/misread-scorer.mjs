/**
 * Scores who was misread with everything known that made the field: the table of errors, the model of pace, the shares
 * seen. No check can do better by much; what share of it a check reaches says how good the check is.
 */
import { seededNormal, START_MS } from './misread-field.mjs';
import { seededRandom } from '../seeded-random.mjs';

const WAVES = 60;
const WAVE_SECONDS = 600;
const BIN = 0.0025;

/** Density of the slowing, from draws of the very rule that makes it. */
function slowingDensity() {
  const random = seededRandom(1);
  const counts = new Float64Array(80);
  const draws = 400_000;
  for (let i = 0; i < draws; i += 1) {
    const slowing = 0.04 * random() + Math.abs(0.02 * seededNormal(random));
    const bin = Math.floor(slowing / BIN);
    if (bin < counts.length) counts[bin] = (counts[bin] ?? 0) + 1 / (draws * BIN);
  }
  return (/** @type {number} */ slowing) => (slowing < 0 ? 0 : (counts[Math.floor(slowing / BIN)] ?? 0));
}
const slowing = slowingDensity();

/** Density of seconds per km. @param {number} pace */
function paceDensity(pace) {
  if (pace <= 0) return 0;
  const z = Math.log(pace / (5.6 * 60)) / 0.16;
  return Math.exp(-0.5 * z * z) / (pace * 0.16 * Math.sqrt(2 * Math.PI));
}

/** Joint density of the seconds at the early and the late point. @param {number} early @param {number} late @param {number} kmEarly @param {number} kmLate */
function both(early, late, kmEarly, kmLate) {
  let sum = 0;
  for (let i = 0; i < WAVES; i += 1) {
    const wave = ((i + 0.5) / WAVES) * WAVE_SECONDS;
    const pace = (early - wave) / kmEarly;
    if (pace <= 0) continue;
    sum += ((paceDensity(pace) / kmEarly) * slowing((late - wave) / (kmLate * pace) - 1)) / (kmLate * pace);
  }
  return sum / WAVES;
}

/** Density of the seconds at one point. @param {number} seconds @param {number} km @param {boolean} slowed */
function alone(seconds, km, slowed) {
  let sum = 0;
  for (let i = 0; i < WAVES; i += 1) {
    const wave = ((i + 0.5) / WAVES) * WAVE_SECONDS;
    if (!slowed) sum += paceDensity((seconds - wave) / km) / km;
    else
      for (let bin = 0; bin < 40; bin += 1) {
        const s = (bin + 0.5) * BIN;
        const length = km * (1 + s);
        sum += (slowing(s) * BIN * paceDensity((seconds - wave) / length)) / length;
      }
  }
  return sum / WAVES;
}

/**
 * The order in which bibs may have been meant, for every misreading that is on no list.
 *
 * @param {ReturnType<typeof import('./misread-field.mjs').misreadField>} field
 * @param {{table: import('./misread-field.mjs').Table, timed?: boolean}} known
 * @returns {Map<string, string[]>} by record
 */
export function scoreMisreadings({ input, misreadings }, { table, timed = true }) {
  const [early = 10, late = 32] = input.checkpoints.map(({ km }) => km);
  const listed = new Set(input.startList.map(({ bib }) => bib));
  /** @type {Map<string, number>[]} */
  const seconds = [new Map(), new Map()];
  for (const { checkpoint, bib, atMs } of input.sightings) {
    /** @type {Map<string, number>} */ (seconds[checkpoint]).set(bib, (atMs - START_MS) / 1000);
  }
  const byId = new Map(input.sightings.map((one) => [one.id, one]));
  const orders = new Map();
  for (const { id, read, listed: onList } of misreadings) {
    if (onList) continue;
    const { checkpoint, atMs } = /** @type {(typeof input.sightings)[number]} */ (byId.get(id));
    const here = (atMs - START_MS) / 1000;
    const scores = [];
    for (let at = 0; at < read.length; at += 1) {
      for (const shown of '0123456789') {
        const bib = read.slice(0, at) + shown + read.slice(at + 1);
        if (bib === read || !listed.has(bib)) continue;
        // Who was seen here was not misread here, but for the rare case that that sighting is wrong itself.
        const free = seconds[checkpoint]?.has(bib) ? 0.01 : 1;
        const there = seconds[1 - checkpoint]?.get(bib);
        const [first, second] = checkpoint ? [there, here] : [here, there];
        // How likely the time is here, given where the runner was there, if at all.
        const times = !timed
          ? 1
          : first === undefined || second === undefined
            ? alone(here, checkpoint ? late : early, checkpoint === 1)
            : both(first, second, early, late) / alone(there ?? 0, checkpoint ? early : late, checkpoint === 0);
        const weight = (table[shown]?.[/** @type {string} */ (read[at])] ?? 0) * free * times;
        scores.push({ bib, weight });
      }
    }
    orders.set(
      id,
      scores.sort((a, b) => b.weight - a.weight).map(({ bib }) => bib),
    );
  }
  return orders;
}
