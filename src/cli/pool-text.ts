import { count, counted, decimal, levelText, orNone, percent, pNumber } from '../lib/words/numbers.ts';
import { plainLines } from '../lib/findings/sentences-section.ts';
import type { Pooled } from '../lib/findings/pool/pooled.ts';
import { forestPictures, type ForestPicture } from '../lib/findings/pool/pictures.ts';
import { pooledWords } from '../lib/findings/pool/words.ts';
import { alignedTable } from './aligned-table.ts';
import { forestPlot } from './forest-plot.ts';
import { heading, sentences, setIn, wrapped } from './text-lines.ts';

/** Several races as one, for a person at a terminal: one line a race, a forest plot for each effect, people, notes. */
export function poolText(pooled: Pooled, level: number, width: number): string {
  const words = pooledWords(pooled, level);
  const lines = [
    ...sentences(plainLines(words)),
    ...heading('Races'),
    ...racesTable(pooled),
    ...forestPictures(pooled, level).flatMap((picture) => [...heading(picture.title), ...plotLines(picture, width)]),
    ...heading('How far races differ'),
    ...heterogeneityTable(pooled, level),
    ...peopleLines(pooled),
    ...heading('How to read these figures'),
    ...pooled.notes.flatMap((note) => wrapped(note, '- ', '  ')),
  ];
  return `${lines.join('\n')}\n`;
}

function racesTable({ races }: Pooled): string[] {
  const rows = races.map(({ race, classified, rearfoot, paired, gained, lost }) => [
    race,
    count(classified),
    percent(classified > 0 ? rearfoot / classified : null),
    count(paired),
    count(gained),
    count(lost),
  ]);
  return setIn(
    alignedTable(['race', 'classified early', 'rearfoot', 'seen at both', 'turned to it', 'turned away'], rows),
  );
}

function plotLines({ rows, reference, axis, from, to, scale }: ForestPicture, width: number): string[] {
  const plot = forestPlot(
    rows.map(({ name, estimate, low, high, words, kind }) => ({
      ...{ name, words, kind },
      estimate: scale(estimate),
      low: scale(low),
      high: scale(high),
    })),
    width - 2,
    reference === null ? null : scale(reference),
    { from: scale(from), to: scale(to) },
  );
  return setIn([...plot, `(${axis})`]);
}

function heterogeneityTable(pooled: Pooled, level: number): string[] {
  const rows = (
    [
      ['rearfoot share', pooled.share],
      ['shift', pooled.difference],
      ['odds of the shift', pooled.oddsRatio],
      ['trend over km', pooled.trend],
    ] as const
  ).map(([name, { races, tau2, tau2Low, tau2High, i2, heterogeneity }]) => [
    name,
    count(races),
    decimal(tau2, 4),
    orNone(tau2Low === null || tau2High === null ? null : `${decimal(tau2Low, 4)} to ${decimal(tau2High, 4)}`),
    percent(i2),
    decimal(heterogeneity.statistic),
    pNumber(heterogeneity.p),
  ]);
  return setIn(alignedTable(['effect', 'races', 'τ²', `${levelText(level)} interval`, 'I²', 'Q', 'p'], rows));
}

function peopleLines({ runners }: Pooled): string[] {
  if (!runners || runners.coded === 0) return [];
  const rows = runners.history.map(({ runner, races, classes, unclassified, disputed, walking, pairs }) => [
    runner,
    count(races),
    ...Object.values(classes).map(count),
    count(unclassified + disputed + walking),
    count(pairs.stayedRearfoot),
    count(pairs.gained),
    count(pairs.lost),
    count(pairs.stayedOther),
  ]);
  return [
    ...heading('People over races'),
    `${counted(runners.coded, 'runner code')} among the sighted; ${count(runners.linked)} classified in two races or more.`,
    '',
    ...setIn(
      alignedTable(
        [
          'code',
          'races',
          'rearfoot',
          'midfoot',
          'forefoot',
          'asymmetric',
          'other',
          'stayed rearfoot',
          'turned to it',
          'turned away',
          'stayed other',
        ],
        rows,
      ),
    ),
  ];
}
