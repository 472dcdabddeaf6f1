import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RACE_ID, rearranged, recordSet } from '../../../../tests/helpers/records/record-arbitraries.ts';
import { viewOfRace } from '../../sightings/race-view.ts';
import type { Race } from '../../race/race.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { SightingTable } from '../../sightings/sighting-table.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { analyse } from '../../findings/analyse.ts';
import { sightingsCsv } from './sightings-csv.ts';
import { readSightings } from './sightings-reader.ts';

const race: Race = {
  id: RACE_ID,
  name: '=Alder, "Ten"',
  date: '2026-10-04',
  checkpoints: [
    { id: 'k5', name: '@Mill, North', km: 5 },
    { id: 'k15', name: "'-Weir", km: 15.25 },
  ],
};

async function readAgain(text: string): Promise<SightingTable> {
  const bytes = new TextEncoder().encode(text);
  const chunks = (async function* () {
    yield await Promise.resolve(bytes);
  })();
  const read = await readSightings(chunks);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value.table;
}

/** Everything a table says, row by row. */
function rowsOf(table: SightingTable) {
  return Array.from({ length: table.size }, (_, row) => ({
    id: table.recordId(row),
    checkpoint: table.checkpoints[table.checkpoint[row]!],
    bib: table.bib[row]! < 0 ? null : table.bibs[table.bib[row]!],
    observer: table.observers[table.observer[row]!],
    observedAtMs: table.observedAtMs[row],
    seen: table.seen[row],
  }));
}

describe('sightingsCsv', () => {
  it('is read again as the very rows that the findings of the records count', async () => {
    await fc.assert(
      fc.asyncProperty(recordSet, async (records) => {
        const view = viewOfRace(race, records);
        const table = tableOfRecords(view);
        // A table without a row is refused, and rightly so.
        fc.pre(table.size > 0);
        const again = await readAgain([...sightingsCsv(view)].join(''));
        expect(rowsOf(again)).toEqual(rowsOf(table));
      }),
      { numRuns: 300 },
    );
  });

  it('gives the same findings read again as the records themselves', async () => {
    await fc.assert(
      fc.asyncProperty(recordSet, async (records) => {
        const view = viewOfRace(race, records);
        const table = tableOfRecords(view);
        fc.pre(table.size > 0);
        const again = await readAgain([...sightingsCsv(view)].join(''));
        expect(analyse(again, null)).toEqual(analyse(table, null));
      }),
      { numRuns: 100 },
    );
  });

  it('writes the same bytes whatever the order of the records', () => {
    fc.assert(
      fc.property(
        recordSet.chain((records) => fc.tuple(fc.constant(records), rearranged(records))),
        ([records, again]) => {
          const csv = (set: TallyRecord[]) => [...sightingsCsv(viewOfRace(race, set))].join('');
          expect(csv(again)).toBe(csv(records));
        },
      ),
      { numRuns: 100 },
    );
  });

  it('puts offsets beside the devices that are known and codes in place of bibs when asked', () => {
    const records: TallyRecord[] = [
      {
        ...{ id: '01920000-0000-7000-8000-000000000001', kind: 'sighting', race: RACE_ID, observer: 'A' },
        ...{ device: 'tablet-1', seq: 1, madeAt: '2026-10-04T07:30:00.000Z', checkpoint: 'k5', bib: '-12' },
        ...{ left: 'rearfoot', right: 'unseen', method: 'live', observedAt: '2026-10-04T07:30:00.000Z' },
      },
    ];
    const options = {
      offsetMs: new Map([['tablet-1', -1500]]),
      coding: { bib: (bib: string) => `R${bib.length}`, runner: (code: string) => code },
    };
    const [, row] = [...sightingsCsv(viewOfRace(race, records), options)];
    expect(row).toBe(
      '01920000-0000-7000-8000-000000000001,"\'=Alder, ""Ten""","\'@Mill, North",5,R3,rearfoot,unseen,A,live,' +
        '2026-10-04T07:30:00.000Z,run,,tablet-1,1,-1500,,,,,\r\n',
    );
  });
});
