import { checkRace } from '../../src/lib/check/check-race.ts';
import { measureMisreadings } from '../helpers/misread-field.mjs';

/** Written down so that anybody gets the same figures; each field takes the next one. */
const SEED = 20_261_004;

/**
 * How often Check names the right bib for a misread one whose runner was seen at the other checkpoint. `onTheList` are
 * the misreadings that hit another starter's number: shares there are of all of them, doubted or not.
 */
export default async function misread() {
  const dense = { starters: 8600, numbers: Math.round((8600 * 4) / 3) };
  const figures = (/** @type {object} */ options, /** @type {number} */ fields) =>
    measureMisreadings(checkRace, { seed: SEED, fields, ...options });
  return {
    seed: SEED,
    target: { withTimes: { firstShare: 0.8, firstThreeShare: 0.95 } },
    scorerThatKnowsTheErrors: {
      withTimes: [0.85, 1],
      withoutTimes: [0.5, 0.87],
      note: 'stated with the task, 3,000 starters',
    },
    starters3000: { withTimes: figures({}, 40), withoutTimes: figures({ timed: false }, 40) },
    starters8600: { withTimes: figures(dense, 10), withoutTimes: figures({ ...dense, timed: false }, 10) },
  };
}
