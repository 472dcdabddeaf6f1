import { FIGURE_WORDS } from '../../../clips/figure-words.ts';
import type { GaitFigure } from '../../../clips/step-figures.ts';
import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { count, decimal, decimalRange, distance, levelText, orNone } from '../../../words/numbers.ts';
import type { IntervalMark, MarksPicture } from '../../series-picture.ts';
import type { CheckpointGait, GaitChange } from './gait.ts';

/** How a figure stands in a picture: times in milliseconds, since axes are written in whole numbers. */
const DRAWN = {
  contact: { title: 'Contact time', unit: 'ms', times: 1000 },
  cadence: { title: 'Cadence', unit: 'steps/min', times: 1 },
} as const satisfies Partial<Record<GaitFigure, object>>;

const CHANGED = ['contact', 'step', 'flight'] as const;

/** Contact time and cadence by class at each checkpoint, and late against early within the same runners. */
export function gaitPictures(
  gait: readonly CheckpointGait[] | null,
  change: GaitChange | null,
  level: number,
): MarksPicture[] {
  return [byClass('contact', gait ?? [], level), byClass('cadence', gait ?? [], level), changes(change, level)].filter(
    (picture) => picture !== null,
  );
}

function byClass(figure: keyof typeof DRAWN, gait: readonly CheckpointGait[], level: number): MarksPicture | null {
  const { title, unit, times } = DRAWN[figure];
  const places = gait.filter(({ groups }) => RUNNER_CLASSES.some((name) => groups[name][figure].n > 0));
  if (places.length === 0) return null;
  const rows = places.map(({ checkpoint, km }) => `${checkpoint}, ${distance(km)}`);
  const scaled = (value: number | null) => (value === null ? null : value * times);
  const groups = RUNNER_CLASSES.filter((name) => places.some((place) => place.groups[name][figure].n > 0)).map(
    (tone) => ({
      ...{ name: tone, tone },
      marks: places.map(({ groups: here }): IntervalMark | null => {
        const { mean, low, high } = here[tone][figure];
        return mean === null ? null : { value: mean * times, low: scaled(low), high: scaled(high) };
      }),
    }),
  );
  const said = places.map(
    ({ groups: here }, i) =>
      `${rows[i]}: ${groups.map(({ tone }) => `${tone} ${decimal(scaled(here[tone][figure].mean), 0)}`).join(', ')}`,
  );
  return {
    ...{ kind: 'marks', style: 'point', unit: 'whole', id: `gait-${figure}` },
    axisTitle: `${FIGURE_WORDS[figure].name}, ${unit}`,
    title: `${title} by class, means with ${levelText(level)} intervals`,
    label: `Points with intervals, ${unit}. ${said.join('; ')}.`,
    ...{ rows, groups },
    table: {
      caption: `${title} by class, ${unit}: mean over runners and its ${levelText(level)} interval`,
      columns: ['Checkpoint', 'Class', 'Runners', 'Mean', 'Interval'],
      rows: places.flatMap(({ groups: here }, i) =>
        groups.map(({ tone }) => {
          const { n, mean, low, high } = here[tone][figure];
          return [
            ...[rows[i]!, tone, count(n), decimal(scaled(mean), 1)],
            orNone(decimalRange(scaled(low), scaled(high), 1)),
          ];
        }),
      ),
    },
  };
}

function changes(change: GaitChange | null, level: number): MarksPicture | null {
  const measured = change ? CHANGED.filter((figure) => change[figure].difference !== null) : [];
  if (!change || measured.length === 0) return null;
  const ms = (value: number | null) => (value === null ? null : value * 1000);
  const title = `Late less early within the same runners, with ${levelText(level)} intervals`;
  const rows = measured.map((figure) => `${FIGURE_WORDS[figure].name} · ${count(change[figure].n)} runners`);
  return {
    ...{ kind: 'marks', style: 'point', unit: 'whole', id: 'gait-change', title, rows },
    axisTitle: `${change.late} − ${change.early}, ms`,
    label: `Points with intervals, milliseconds. ${measured.map((figure, i) => `${rows[i]}: ${decimal(ms(change[figure].difference), 0)}`).join('; ')}.`,
    groups: [
      {
        ...{ name: 'difference', tone: 'first' },
        marks: measured.map((figure) => {
          const { difference, low, high } = change[figure];
          return { value: ms(difference)!, low: ms(low), high: ms(high) };
        }),
      },
    ],
    reference: 0,
    table: {
      caption: `${title}, ms`,
      columns: ['Figure', 'Runners', change.early, change.late, 'Difference', 'Interval'],
      rows: measured.map((figure) => {
        const { n, early, late, difference, low, high } = change[figure];
        return [
          ...[FIGURE_WORDS[figure].name, count(n), decimal(ms(early), 1), decimal(ms(late), 1)],
          ...[decimal(ms(difference), 1), orNone(decimalRange(ms(low), ms(high), 1))],
        ];
      }),
    },
  };
}
