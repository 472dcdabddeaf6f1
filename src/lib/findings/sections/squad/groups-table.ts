import {
  count,
  levelText,
  NO_FIGURE,
  orNone,
  percent,
  percentRange,
  pointRange,
  signedPoints,
} from '../../../words/numbers.ts';
import type { TableData } from '../../series-picture.ts';
import { SMALL_SQUAD, type SquadChange, type SquadShare } from './figures.ts';
import type { GroupOf, SquadGroup } from './groups.ts';

const SEXES: Readonly<Record<string, string>> = { F: 'Women', M: 'Men' };
const THIRDS = ['First third of the finishers', 'Middle third', 'Last third'] as const;

/** @param sexes all that occur: `M` stands for men beside `F` alone, since lists have it for women too */
function groupWords(of: GroupOf, sexes: readonly string[]): string {
  if (of.kind === 'third') return THIRDS[of.third];
  if (of.kind === 'sex') return (sexes.includes('F') && SEXES[of.sex]) || `Sex ${of.sex}`;
  if (of.from === null) return `Below ${of.below!}`;
  return of.below === null ? `${of.from} and over` : `${of.from} to ${of.below - 1}`;
}

/** Women and men, ages and thirds of the field, where numbers allow; `null` where they allow nothing. */
export function groupsTable(groups: readonly SquadGroup[], level: number): TableData | null {
  if (groups.length === 0) return null;
  const sexes = groups.flatMap(({ of }) => (of.kind === 'sex' ? [of.sex] : []));
  const place = groups[0]!.shares[0]!.checkpoint;
  return {
    caption: `On the rearfoot at ${place}, and the change to the late checkpoint, with ${levelText(level)} intervals. Groups with fewer than ${SMALL_SQUAD} of either side are left out; one runner is in several, so read no two rows as a test.`,
    columns: ['Group', 'Squad', 'interval', 'Rest of the field', 'interval', 'Change, squad', 'Change, rest'],
    rows: groups.map(({ of, shares, changes }) => [
      groupWords(of, sexes),
      ...shares.flatMap((share) => [shareWords(share), orNone(percentRange(share.low, share.high))]),
      ...[0, 1].map((side) => changeWords(changes[side])),
    ]),
  };
}

const shareWords = ({ classes, classified }: SquadShare): string =>
  `${percent(classes.rearfoot / classified)} of ${count(classified)}`;

function changeWords(change: SquadChange | undefined): string {
  if (!change || change.paired < SMALL_SQUAD) return NO_FIGURE;
  return `${signedPoints(change.difference)} points among ${count(change.paired)} (${orNone(pointRange(change.low, change.high))})`;
}
