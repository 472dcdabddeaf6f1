import type { Clip } from '$lib/records/record.ts';
import type { PlacingTask, Spot } from './point-placing.svelte.ts';

/** The task of drawing a line along something level; two ends at the same x say nothing and are not kept. */
export function levelTask(keep: (level: NonNullable<Clip['level']>) => void): PlacingTask {
  return {
    names: ['level, left end', 'level, right end'],
    wholeAt: [2],
    keep: (points) => {
      const [a, b] = Object.values(points).toSorted(([x1], [x2]) => x1 - x2) as [Spot, Spot];
      if (a[0] < b[0]) keep([...a, ...b]);
      return Promise.resolve();
    },
  };
}
