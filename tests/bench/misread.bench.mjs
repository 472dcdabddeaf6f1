import { checkRace } from '../../src/lib/check/check-race.ts';
import { measureMisreadings } from '../helpers/check/measure-misreadings.mjs';
import { drawnTable, usualTable } from '../helpers/check/misread-field.mjs';

/** Written down so that anybody gets the same figures; each field takes the next one. */
const SEED = 20_261_004;

/**
 * How often Check names the right bib for a misread one whose runner was seen at the other checkpoint, beside a scorer
 * that knows all that made the field. `onTheList` are the misreadings that hit another starter's number: shares there are
 * of all of them, doubted or not. `drawn`: what is taken for what is drawn at random for each field, as no table foresees.
 */
export default async function misread() {
  const dense = { starters: 8600, numbers: Math.round((8600 * 4) / 3) };
  const drawn = (/** @type {number} */ field) => drawnTable(SEED + field);
  const figures = (/** @type {object} */ options, /** @type {number} */ fields, tables = usualTable) =>
    measureMisreadings(checkRace, { seed: SEED, fields, tables, ...options });
  return {
    seed: SEED,
    target: 'first and first three at least 0.95 of the scorer that knows everything, with times',
    starters3000: {
      withTimes: figures({}, 12),
      withTimesDrawn: figures({}, 12, drawn),
      withoutTimes: figures({ timed: false }, 12),
    },
    starters8600: { withTimes: figures(dense, 6), withTimesDrawn: figures(dense, 6, drawn) },
  };
}
