import { FOOT_CLASSES } from '../../../records/foot.ts';
import { count, decimal, decimalRange, levelText, orNone, percent, percentRange } from '../../../words/numbers.ts';
import type { TableData } from '../../series-picture.ts';
import type { LiveAgainstClip, LiveReading, ReadingShare } from './live-against-clip.ts';

/** Live calls held against clips: who was right how often, and which class became which. */
export function liveAgainstClipTables(figures: LiveAgainstClip, level: number): TableData[] {
  const { all, observers, sides, checkpoints } = figures;
  const readings: readonly (readonly [string, LiveReading])[] = [
    ['All', all],
    ...checkpoints.map((at) => [`At ${at.checkpoint}`, at] as const),
    ...observers.map((of) => [of.observer, of] as const),
    ...(['near', 'far'] as const).map((side) => [`${side === 'near' ? 'Near' : 'Far'} foot`, sides[side]] as const),
  ];
  return [
    {
      caption: `Feet called live and classed on a clip, ${levelText(level)} intervals that take the feet of a runner together`,
      columns: ['Reading', 'Feet', 'Agree', 'Interval', 'Kappa', 'Interval', 'Rearfoot found', 'Others told apart'],
      rows: readings.filter(([, { units }]) => units > 0).map(([name, reading]) => readingRow(name, reading)),
    },
    {
      caption: 'Feet by class on the clip and class called live',
      columns: ['On the clip', ...FOOT_CLASSES.map((name) => `${name} live`)],
      rows: FOOT_CLASSES.map((name, i) => [name, ...all.table[i]!.map((feet) => count(feet))]),
    },
  ];
}

function readingRow(name: string, { units, agreement, kappa, rearfoot }: LiveReading): string[] {
  return [
    name,
    count(units),
    percent(agreement.share),
    orNone(percentRange(agreement.clusterLow, agreement.clusterHigh)),
    decimal(kappa.estimate),
    orNone(decimalRange(kappa.clusterLow, kappa.clusterHigh)),
    ofAll(rearfoot.sensitivity),
    ofAll(rearfoot.specificity),
  ];
}

const ofAll = ({ count: found, of }: ReadingShare): string => `${count(found)} of ${count(of)}`;
