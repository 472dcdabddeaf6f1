import {
  count,
  decimal,
  levelText,
  orNone,
  percent,
  pNumber,
  ratio,
  ratioRange,
  signedPoints,
} from '../../words/numbers.ts';
import type { TableData } from '../series-picture.ts';
import type { MetaRegression, Pooled } from './pooled.ts';

/** What each race brings: its denominators and counts. */
export function racesTable({ races }: Pooled): TableData {
  return {
    caption: 'Races and their counts: classified at the early checkpoint, and runners classified at both',
    columns: ['Race', 'Classified early', 'Rearfoot', 'Share', 'Seen at both', 'Turned to it', 'Turned away'],
    rows: races.map(({ race, classified, rearfoot, paired, gained, lost }) => [
      race,
      count(classified),
      count(rearfoot),
      percent(classified > 0 ? rearfoot / classified : null),
      count(paired),
      count(gained),
      count(lost),
    ]),
  };
}

const EFFECTS = [
  ['Rearfoot share', 'share'],
  ['Shift', 'difference'],
  ['Odds of the shift', 'oddsRatio'],
  ['Trend over km', 'trend'],
] as const;

/** How far races differ in each effect. */
export function heterogeneityTable(pooled: Pooled, level: number): TableData {
  return {
    caption: `How far races differ: variance between them with its ${levelText(level)} interval`,
    columns: ['Effect', 'Races', 'τ²', `${levelText(level)} interval`, 'I²', 'Q', 'p'],
    rows: EFFECTS.map(([name, effect]) => {
      const { races, tau2, tau2Low, tau2High, i2, heterogeneity } = pooled[effect];
      const range = tau2Low === null || tau2High === null ? null : `${decimal(tau2Low, 4)} to ${decimal(tau2High, 4)}`;
      return [
        name,
        count(races),
        decimal(tau2, 4),
        orNone(range),
        percent(i2),
        decimal(heterogeneity.statistic),
        pNumber(heterogeneity.p),
      ];
    }),
  };
}

/** What 10 km more between the checkpoints change; `null` below ten races. */
export function distanceTable({ difference, oddsRatio }: Pooled, level: number): TableData | null {
  const rows = [
    ...(difference.metaRegression ? [ofDifference(difference.metaRegression)] : []),
    ...(oddsRatio.metaRegression ? [ofOdds(oddsRatio.metaRegression)] : []),
  ];
  if (rows.length === 0) return null;
  return {
    caption: `What 10 km more between the checkpoints change, ${levelText(level)} intervals`,
    columns: ['Effect', 'Races', 'For 10 km', 'Interval', 'p'],
    rows,
  };
}

const ofDifference = ({ races, coefficient, low, high, p }: MetaRegression): string[] => [
  'Shift, points',
  count(races),
  signedPoints(coefficient),
  `${signedPoints(low)} to ${signedPoints(high)}`,
  pNumber(p),
];

const ofOdds = ({ races, coefficient, low, high, p }: MetaRegression): string[] => [
  'Odds of the shift, times',
  count(races),
  ratio(Math.exp(coefficient)),
  orNone(ratioRange(Math.exp(low), Math.exp(high))),
  pNumber(p),
];

/** Persons over races, counts alone; `null` where nobody is followed. */
export function peopleTable({ runners }: Pooled): TableData | null {
  if (!runners || runners.history.length === 0) return null;
  return {
    caption: 'People over races: checkpoints by class, and early against late of each race; counts alone',
    columns: [
      'Code',
      'Races',
      'Rearfoot',
      'Midfoot',
      'Forefoot',
      'Asymmetric',
      'Other',
      'Stayed rearfoot',
      'Turned to it',
      'Turned away',
      'Stayed other',
    ],
    rows: runners.history.map(({ runner, races, classes, unclassified, disputed, walking, pairs }) => [
      runner,
      count(races),
      ...[classes.rearfoot, classes.midfoot, classes.forefoot, classes.asymmetric].map((n) => count(n)),
      count(unclassified + disputed + walking),
      ...[pairs.stayedRearfoot, pairs.gained, pairs.lost, pairs.stayedOther].map((n) => count(n)),
    ]),
  };
}
