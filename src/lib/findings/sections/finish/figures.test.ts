import { expect, it } from 'vitest';
import type { Foot } from '../../../records/foot.ts';
import { SightingTableBuilder } from '../../../sightings/sighting-table.ts';
import { analyse } from '../../analyse.ts';

const ROWS: readonly (readonly [bib: string, foot: Foot, finish: number])[] = [
  ['1', 'rearfoot', 3000],
  ['2', 'rearfoot', 3000],
  ['3', 'midfoot', 3300],
  ['4', 'midfoot', 3300],
  ['5', 'forefoot', 3100],
];

// By hand: each class has one finish time, so class tells it without a residual.
it('has no model where the terms fit the times perfectly, and says so', () => {
  const builder = new SightingTableBuilder();
  for (const [bib, foot] of ROWS) {
    builder.add({
      ...{ recordId: `r${bib}`, checkpoint: 'Ford', km: 5, bib, left: foot, right: foot },
      ...{ gait: 'run', observer: 'A', method: 'live', observedAtMs: 0 },
    });
  }
  const fields = ROWS.map(([bib, , finish]) => ({ bib, finish }));
  const { finish, notes } = analyse(builder.build(), fields);
  expect(finish?.model).toBeNull();
  expect(notes.join('\n')).toMatch(/model is null: the terms fit the times without residuals/);
});
