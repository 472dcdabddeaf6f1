import { FOOT_CLASSES } from '../../../records/foot.ts';
import type { RaterPair } from '../../findings.ts';
import { count, counted, listed, percent } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences-parts.ts';
import type { TableData } from '../../series-picture.ts';
import { LEAST_GROUP } from '../../which-test.ts';

export const CLIP_MARK = ' (clip)';

/** Whether one of two raters looked live and the other at a clip. */
export function liveAgainstClip(pair: RaterPair): boolean {
  return pair.a.endsWith(CLIP_MARK) !== pair.b.endsWith(CLIP_MARK);
}

/** 3×3 over all pairs of a live rater and a clip: rows what was called live, columns what the clip showed. */
export function liveClipCounts(pairs: readonly RaterPair[]): number[][] {
  const counts = FOOT_CLASSES.map(() => FOOT_CLASSES.map(() => 0));
  for (const { a, table } of pairs.filter(liveAgainstClip)) {
    const clipFirst = a.endsWith(CLIP_MARK);
    FOOT_CLASSES.forEach((_, live) =>
      FOOT_CLASSES.forEach((__, clip) => {
        counts[live]![clip]! += (clipFirst ? table[clip]![live] : table[live]![clip]) ?? 0;
      }),
    );
  }
  return counts;
}

const sum = (row: readonly number[]): number => row.reduce((all, n) => all + n, 0);

/** Which way the naked eye errs, the class it misses most first; `null` without a comparison. */
export function errorDirection(pairs: readonly RaterPair[]): Sentence | null {
  const counts = liveClipCounts(pairs);
  const rows = counts
    .map((row, live) => ({ live, called: sum(row), other: sum(row) - row[live]!, row }))
    .filter(({ called }) => called >= LEAST_GROUP);
  if (rows.length === 0) return null;
  const wrong = rows.filter(({ other }) => other > 0).sort((a, b) => b.other / b.called - a.other / a.called);
  const compared = counted(sum(counts.map(sum)), 'comparison');
  if (wrong.length === 0) return say`In ${compared} with a clip no live call was of another class.`;
  const each = wrong.map(({ live, called, row }) => {
    const others = FOOT_CLASSES.map((name, clip) => ({ name, n: clip === live ? 0 : row[clip]! })).filter(
      ({ n }) => n > 0,
    );
    return `of ${counted(called, `live ${FOOT_CLASSES[live]!} call`)}, ${listed(others.map(({ name, n }) => `${count(n)} ${n === 1 ? 'was' : 'were'} ${name}`))}`;
  });
  const [first, ...rest] = each;
  return say`By clip, ${strong(first!)}${rest.length > 0 ? `; ${rest.join('; ')}` : ''} (${compared}).`;
}

/** What was called live against what the clip showed; `null` without a comparison. */
export function liveClipTable(pairs: readonly RaterPair[]): TableData | null {
  const counts = liveClipCounts(pairs);
  if (sum(counts.map(sum)) === 0) return null;
  return {
    caption: 'Feet called live and reviewed by clip: live call down, clip across',
    columns: ['Live', ...FOOT_CLASSES.map((name) => `${name} by clip`), 'all', 'of another class'],
    rows: FOOT_CLASSES.map((name, live) => {
      const row = counts[live]!;
      const all = sum(row);
      return [name, ...row.map(count), count(all), percent(all > 0 ? (all - row[live]!) / all : null)];
    }),
  };
}
