import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHECKPOINTS, RACE_ID, rearranged, recordSet } from '../../../tests/helpers/records/record-arbitraries.ts';
import type { Race } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import { joinGathered, RecordGatherer } from './gathered-records.ts';
import { instantMs } from './instant-ms.ts';
import { viewOfRace } from './race-view.ts';
import { tableOfGathered } from './table-of-gathered.ts';
import { tableOfRecords } from './table-of-records.ts';

const race = (places: readonly string[]): Race => ({
  id: RACE_ID,
  name: 'Dike Marathon',
  date: '2026-10-04',
  checkpoints: places.map((id, i) => ({ id, name: `At ${id}`, km: 5 + i })),
  observers: [
    { code: 'A', checkpoint: CHECKPOINTS[0], side: 'left' },
    { code: 'B', checkpoint: CHECKPOINTS[1], side: 'right' },
  ],
});

/** As the findings read a race: in batches, and in two parts. */
function gathered(records: readonly TallyRecord[], of: Race) {
  const [one, other] = [new RecordGatherer(), new RecordGatherer()];
  for (let i = 0; i < records.length; i += 3) (i < records.length / 2 ? one : other).take(records.slice(i, i + 3));
  return tableOfGathered(of, joinGathered(one.finish(), other.finish()));
}

/** What the two tables share: all but the functions that ask for a record id. */
const figures = (table: ReturnType<typeof tableOfRecords>) => ({
  ...table,
  recordId: Array.from({ length: table.size }, (_, row) => table.recordId(row)),
  compareRecordIds: Array.from({ length: table.size }, (_, row) => Math.sign(table.compareRecordIds(row, 0))),
});

describe('tableOfGathered', () => {
  it('makes the table of the whole projection, whatever the records, their order and the checkpoints left', () => {
    const cases = recordSet.chain((records) =>
      fc.tuple(
        fc.shuffledSubarray(records, { minLength: records.length, maxLength: records.length }),
        fc.constantFrom(CHECKPOINTS, CHECKPOINTS.slice(0, 1), []),
      ),
    );
    fc.assert(
      fc.property(cases, ([records, places]) => {
        const view = viewOfRace(race(places), records);
        const made = gathered(records, race(places))!;
        expect(figures(made.table)).toEqual(figures(tableOfRecords(view)));
        expect(made.offCourse).toBe(view.offCourse.length);
        expect(made.view.projection).toMatchObject({ draws: view.projection.draws, plan: view.projection.plan });
      }),
      { numRuns: 500 },
    );
  });

  it('leaves it to the whole projection where a record comes twice', () => {
    const cases = recordSet.chain((records) => rearranged(records).map((all) => ({ records, all })));
    fc.assert(
      fc.property(cases, ({ records, all }) => {
        expect(gathered(all, race(CHECKPOINTS)) === null).toBe(all.length > records.length);
      }),
    );
  });
});

describe('instantMs', () => {
  it('reads every instant that records write as the language does', () => {
    const range = {
      min: new Date('0001-01-01T00:00:00Z'),
      max: new Date('9999-12-31T23:59:59.999Z'),
      noInvalidDate: true,
    };
    fc.assert(
      fc.property(fc.date(range), (date) => {
        expect(instantMs(date.toISOString())).toBe(date.getTime());
      }),
    );
  });
});
