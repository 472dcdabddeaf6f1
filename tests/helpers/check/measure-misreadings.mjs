import { misreadField, usualTable } from './misread-field.mjs';
import { scoreMisreadings } from './misread-scorer.mjs';

/**
 * How often the right bib comes first and among the first three, over several fields.
 *
 * @param {(input: import('../../../src/lib/check/input/check-input.ts').CheckInput) => readonly {kind: string, records: readonly string[], candidates: readonly {bib: string, records: readonly string[]}[]}[]} check
 * @param {{seed: number, fields: number, tables?: (field: number) => import('./misread-field.mjs').Table} & Omit<Parameters<typeof misreadField>[0], 'seed' | 'table'>} options
 *   `tables`: what is taken for what in each field
 */
export function measureMisreadings(check, { seed, fields, tables = usualTable, ...options }) {
  const unlisted = { misreadings: 0, first: 0, firstThree: 0 };
  const known = { first: 0, firstThree: 0 };
  const onList = { misreadings: 0, doubted: 0, first: 0, firstThree: 0 };
  let doubtsOnRightSightings = 0;
  let sightings = 0;
  for (let field = 0; field < fields; field += 1) {
    const table = tables(field);
    const made = misreadField({ seed: seed + field, table, ...options });
    const { input, misreadings } = made;
    const orders = scoreMisreadings(made, { table, timed: options.timed ?? true });
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
      const best = (orders.get(id) ?? []).indexOf(bib);
      if (best === 0) known.first += 1;
      if (best >= 0 && best < 3) known.firstThree += 1;
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
      // A scorer that knows the table of errors and the model of pace.
      knowingFirstShare: share(known.first, unlisted.misreadings),
      knowingFirstThreeShare: share(known.firstThree, unlisted.misreadings),
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
