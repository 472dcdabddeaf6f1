/**
 * An invented field with misread bibs, for measuring how often Check finds the right one. How errors are made here is
 * written down apart from the model that undoes them, and shares no constant with it.
 */
import { seededRandom } from '../seeded-random.mjs';

/** One standard normal number (Box–Muller). @param {() => number} random */
export function seededNormal(random) {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** What an eye in a hurry takes a digit for. @type {Record<string, string>} */
const TAKEN_FOR = { 0: '6', 1: '7', 3: '8', 4: '9', 5: '6', 6: '05', 7: '1', 8: '3', 9: '4' };
const DIGITS = [...'0123456789'];

/**
 * How one digit is taken for another: for each digit the shares of the others, which sum to 1.
 * @typedef {Record<string, Record<string, number>>} Table
 */

/** Three in four to a digit that looks like it, the rest to any other. @param {Record<string, string>} takenFor @param {number} alikeShare @returns {Table} */
export function tableOf(takenFor, alikeShare = 0.75) {
  return Object.fromEntries(
    DIGITS.map((shown) => {
      const alike = [...(takenFor[shown] ?? '')];
      const others = DIGITS.filter((d) => d !== shown && !alike.includes(d));
      const share = (/** @type {string} */ d) =>
        alike.includes(d) ? alikeShare / alike.length : (alike.length ? 1 - alikeShare : 1) / others.length;
      return [shown, Object.fromEntries([...alike, ...others].map((d) => [d, share(d)]))];
    }),
  );
}

/** A table that nobody chose: each digit has one or two partners drawn at random. @param {number} seed @returns {Table} */
export function drawnTable(seed) {
  const random = seededRandom(seed);
  const taken = Object.fromEntries(
    DIGITS.map((shown) => {
      const others = DIGITS.filter((d) => d !== shown);
      const count = random() < 0.5 ? 1 : 2;
      return [
        shown,
        Array.from({ length: count }, () => others.splice(Math.floor(random() * others.length), 1)).join(''),
      ];
    }),
  );
  return tableOf(taken, 0.6 + 0.25 * random());
}

const USUAL = tableOf(TAKEN_FOR);

/** Pairs that look alike, for every field. */
export const usualTable = () => USUAL;

/** One digit of `bib` changed by the table. @param {string} bib @param {Table} table @param {() => number} random */
function misread(bib, table, random) {
  const at = Math.floor(random() * bib.length);
  let left = random();
  let read = '';
  for (const [digit, share] of Object.entries(
    /** @type {Record<string, number>} */ (table[/** @type {string} */ (bib[at])]),
  )) {
    read = digit;
    left -= share;
    if (left < 0) break;
  }
  return bib.slice(0, at) + read + bib.slice(at + 1);
}

export const START_MS = Date.UTC(2026, 9, 4, 7, 0, 0);

/**
 * Log-normal pace with SD 0.16 about 5.6 min/km, waves over 10 minutes, slowing by 0 to 4 % plus |N(0, 2 %)| at the
 * later checkpoint; 70 % seen at 10 km and 60 % at 32 km, `errorShare` of the sightings misread.
 *
 * @param {{seed: number, starters?: number, lowest?: number, numbers?: number, errorShare?: number, timed?: boolean,
 *   points?: {km: number, share: number}[], table?: Table}} options
 *   `numbers`: how many consecutive numbers the bibs are drawn from
 * @returns the input of a check, and for each misread record what was meant
 */
export function misreadField({
  seed,
  starters = 3000,
  lowest = 1000,
  numbers = 9000,
  errorShare = 0.03,
  timed = true,
  table = USUAL,
  points = [
    { km: 10, share: 0.7 },
    { km: 32, share: 0.6 },
  ],
}) {
  const random = seededRandom(seed);
  const pool = Array.from({ length: numbers }, (_, i) => String(lowest + i));
  for (let i = 0; i < starters; i += 1) {
    const j = i + Math.floor(random() * (numbers - i));
    [pool[i], pool[j]] = [/** @type {string} */ (pool[j]), /** @type {string} */ (pool[i])];
  }
  const bibs = pool.slice(0, starters);
  const listed = new Set(bibs);
  const sightings = [];
  const misreadings = [];
  for (const bib of bibs) {
    const secondsPerKm = 5.6 * 60 * Math.exp(0.16 * seededNormal(random));
    const wave = random() * 600;
    const slowing = 0.04 * random() + Math.abs(0.02 * seededNormal(random));
    const here = points.map(({ share }) => random() < share);
    for (const [checkpoint, { km }] of points.entries()) {
      if (!here[checkpoint]) continue;
      const seconds = wave + km * secondsPerKm * (checkpoint > 0 ? 1 + slowing : 1);
      const read = random() < errorShare ? misread(bib, table, random) : bib;
      const id = `${checkpoint}-${bib}`;
      if (read !== bib) {
        misreadings.push({
          id,
          bib,
          read,
          listed: listed.has(read),
          seenAtOther: here.some((seen, other) => seen && other !== checkpoint),
        });
      }
      sightings.push({
        id,
        checkpoint,
        bib: read,
        gait: /** @type {const} */ ('run'),
        left: /** @type {const} */ ('rearfoot'),
        right: /** @type {const} */ ('rearfoot'),
        observer: `N${checkpoint + 1}`,
        // Clips carry no time of passing when nobody was there live: that takes the times out of the check.
        method: timed ? /** @type {const} */ ('live') : /** @type {const} */ ('clip'),
        atMs: Math.round(START_MS + seconds * 1000),
      });
    }
  }
  return {
    input: {
      checkpoints: points.map(({ km }) => ({ id: `km${km}`, name: `km ${km}`, km })),
      sightings,
      startList: bibs.map((bib) => ({ bib })),
      results: null,
      startMs: START_MS,
      finishClock: null,
      raceKm: null,
      offsetsMs: new Map(),
      devices: [],
      posts: [],
      plannedSilenceMs: 0,
      passages: null,
      leftAsIs: new Set(),
    },
    misreadings,
  };
}
