/**
 * An invented field with misread bibs, for measuring how often Check finds the right one. How errors are made here is
 * written down apart from the model that undoes them, and shares no constant with it.
 */
import { seededRandom } from './seeded-random.mjs';

/** One standard normal number (Box–Muller). @param {() => number} random */
export function seededNormal(random) {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** What an eye in a hurry takes a digit for. @type {Record<string, string>} */
const TAKEN_FOR = { 0: '6', 1: '7', 3: '8', 4: '9', 5: '6', 6: '05', 7: '1', 8: '3', 9: '4' };
const DIGITS = [...'0123456789'];

/** One digit of `bib` changed, three times in four to one that looks like it. @param {string} bib @param {() => number} random */
function misread(bib, random) {
  const at = Math.floor(random() * bib.length);
  const shown = /** @type {string} */ (bib[at]);
  const alike = [...(TAKEN_FOR[shown] ?? '')];
  const pool = alike.length && random() < 0.75 ? alike : DIGITS.filter((d) => d !== shown && !alike.includes(d));
  return bib.slice(0, at) + pool[Math.floor(random() * pool.length)] + bib.slice(at + 1);
}

export const START_MS = Date.UTC(2026, 9, 4, 7, 0, 0);

/**
 * Log-normal pace with SD 0.16 about 5.6 min/km, waves over 10 minutes, slowing by 0 to 4 % plus |N(0, 2 %)| at the
 * later checkpoint; 70 % seen at 10 km and 60 % at 32 km, `errorShare` of the sightings misread.
 *
 * @param {{seed: number, starters?: number, lowest?: number, numbers?: number, errorShare?: number, timed?: boolean,
 *   points?: {km: number, share: number}[]}} options
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
      const read = random() < errorShare ? misread(bib, random) : bib;
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

/**
 * How often the right bib comes first and among the first three, over several fields.
 *
 * @param {(input: import('../../src/lib/check/check-input.ts').CheckInput) => readonly {kind: string, records: readonly string[], candidates: readonly {bib: string, records: readonly string[]}[]}[]} check
 * @param {{seed: number, fields: number} & Omit<Parameters<typeof misreadField>[0], 'seed'>} options
 */
export function measureMisreadings(check, { seed, fields, ...options }) {
  const unlisted = { misreadings: 0, first: 0, firstThree: 0 };
  const onList = { misreadings: 0, doubted: 0, first: 0, firstThree: 0 };
  let doubtsOnRightSightings = 0;
  let sightings = 0;
  for (let field = 0; field < fields; field += 1) {
    const { input, misreadings } = misreadField({ seed: seed + field, ...options });
    const wrong = new Set(misreadings.map((m) => m.id));
    const doubts = new Map();
    for (const doubt of check(input)) {
      for (const record of doubt.records) doubts.set(record, doubt);
      if (!doubt.records.some((record) => wrong.has(record))) doubtsOnRightSightings += 1;
    }
    sightings += input.sightings.length;
    for (const { id, bib, listed, seenAtOther } of misreadings) {
      if (!seenAtOther) continue;
      const tally = listed ? onList : unlisted;
      tally.misreadings += 1;
      const doubt = doubts.get(id);
      if (!doubt) continue;
      if (listed) onList.doubted += 1;
      const rank = doubt.candidates.findIndex(
        (/** @type {{bib: string, records: readonly string[]}} */ c) => c.bib === bib && c.records.includes(id),
      );
      if (rank === 0) tally.first += 1;
      if (rank >= 0 && rank < 3) tally.firstThree += 1;
    }
  }
  const share = (/** @type {number} */ part, /** @type {number} */ whole) => Math.round((part / whole) * 1000) / 1000;
  return {
    unlisted: {
      misreadings: unlisted.misreadings,
      firstShare: share(unlisted.first, unlisted.misreadings),
      firstThreeShare: share(unlisted.firstThree, unlisted.misreadings),
    },
    onTheList: {
      misreadings: onList.misreadings,
      doubtedShare: share(onList.doubted, onList.misreadings),
      firstShare: share(onList.first, onList.misreadings),
      firstThreeShare: share(onList.firstThree, onList.misreadings),
    },
    doubtsOnRightSightings,
    sightings,
  };
}
