import { FOOT_CLASSES } from '../../../records/foot.ts';
import type { NearFarAgreement, PairNearness } from './near-far-agreement.ts';
import type { RaterTendency } from './rater-tendency.ts';
import { count, decimal, decimalRange, levelText, orNone, percent } from '../../../words/numbers.ts';
import type { StackPicture, TableData } from '../../series-picture.ts';

const sum = (feet: readonly number[]): number => feet.reduce((all, n) => all + n, 0);

/** More raters than this and the picture keeps those with the most feet; the table has all. */
const MOST_RATERS = 12;

/** Which class each observer tends to, by checkpoint; `null` when no foot was classed. */
export function tendencyPicture(tendencies: readonly RaterTendency[]): StackPicture | null {
  const rated = tendencies.filter((entry) => sum(entry.feet) > 0);
  if (rated.length === 0) return null;
  const kept = new Set(rated.toSorted((a, b) => sum(b.feet) - sum(a.feet)).slice(0, MOST_RATERS));
  const shown = rated.filter((entry) => kept.has(entry));
  const share = (entry: RaterTendency, i: number): number => (entry.feet[i] ?? 0) / sum(entry.feet);
  return {
    kind: 'stack',
    id: 'observers',
    title: `Who tends to which class${shown.length < rated.length ? ` (the ${MOST_RATERS} with most feet)` : ''}`,
    label: `Stacked bars of the classes each observer called. ${shown.map((entry) => `${entry.rater} at ${entry.checkpoint}: ${FOOT_CLASSES.map((one, i) => `${one} ${percent(share(entry, i))}`).join(', ')}`).join('; ')}.`,
    bars: shown.map((entry) => ({
      name: `${entry.rater}, ${entry.checkpoint} · ${count(sum(entry.feet))} feet`,
      segments: FOOT_CLASSES.map((tone, i) => ({ tone, label: tone, share: share(entry, i) })),
    })),
    table: {
      caption:
        'What each observer called, all feet at the checkpoint; observers at one checkpoint saw mostly, not wholly, the same runners',
      columns: ['Observer', 'Checkpoint', 'Feet classed', ...FOOT_CLASSES.flatMap((one) => [one, 'share']), 'Not seen'],
      rows: tendencies.map((entry) => [
        entry.rater,
        entry.checkpoint,
        count(sum(entry.feet)),
        ...FOOT_CLASSES.flatMap((_, i) => [
          count(entry.feet[i] ?? 0),
          percent(sum(entry.feet) > 0 ? share(entry, i) : null),
        ]),
        count(entry.unseen),
      ]),
    },
  };
}

const WHERE: Record<PairNearness, string> = {
  near: 'near to both raters',
  far: 'far from both raters',
  mixed: 'near to one, far from the other',
};

/** Agreement on the near and the far foot. */
export function nearFarTable(entries: readonly NearFarAgreement[], level: number): TableData {
  return {
    caption: `Near and far foot apart, live raters whose side of the course is set up; ${levelText(level)} intervals by runner`,
    columns: ['Foot', 'Feet', 'Agreement', 'Kappa', 'interval'],
    rows: entries.map(({ where, units, agreement, kappa }) => [
      WHERE[where],
      count(units),
      percent(agreement),
      decimal(kappa.estimate),
      orNone(decimalRange(kappa.clusterLow, kappa.clusterHigh)),
    ]),
  };
}
