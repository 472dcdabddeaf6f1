import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { RACE_ID, recordId, recordSet } from '../../../tests/helpers/records/record-arbitraries.ts';
import { recordLine } from '../records/canonical-record.ts';
import type { Sighting } from '../records/record.ts';
import { pulledSchema } from '../wire/wire.ts';
import { readPulled } from './read-pulled.ts';

const sighting: Sighting = {
  ...{ id: recordId(1), kind: 'sighting', race: RACE_ID, observer: 'A', device: 'tablet-1', seq: 1 },
  ...{ madeAt: '2026-10-04T07:30:00.000Z', checkpoint: 'k5', bib: '7', left: 'rearfoot', right: 'midfoot' },
  ...{ method: 'live', observedAt: '2026-10-04T07:30:00.000Z' },
};

/** A page as the hub writes it. */
const page = (lines: readonly string[], rest = ',"cursor":"a1.7","more":true}') =>
  `{"records":[${lines.join(',')}]${rest}`;

describe('a page of records as text', () => {
  it('reads what parsing and the schema read, or leaves it to them', () => {
    let read = 0;
    fc.assert(
      fc.property(recordSet, (records) => {
        const text = page(records.map(recordLine));
        const fast = readPulled(text);
        if (!fast) return;
        read += 1;
        const parsed = v.parse(pulledSchema, JSON.parse(text));
        const { heads, lines, cursor, more } = fast;
        expect({ records: lines.map((line) => JSON.parse(line) as unknown), cursor, more }).toEqual(parsed);
        expect(parsed.records).toMatchObject(heads);
        // Of all but sightings the store needs more than the head.
        for (const [i, record] of parsed.records.entries())
          if (record.kind !== 'sighting') expect(heads[i]).toEqual(record);
      }),
      { numRuns: 500 },
    );
    // Only a note full of braces is left to the schema.
    expect(read).toBeGreaterThan(400);
  });

  it('leaves to the schema what it cannot vouch for', () => {
    const line = recordLine(sighting);
    expect(readPulled(page([line]))?.lines).toEqual([line]);
    expect(readPulled(page([line]))?.heads).toEqual([
      { id: sighting.id, kind: 'sighting', race: RACE_ID, device: 'tablet-1' },
    ]);
    expect(readPulled(page([]))).toBeUndefined();
    expect(readPulled(page([line.replace('rearfoot', 'heel')]))).toBeUndefined();
    expect(readPulled(page([line, '0']))).toBeUndefined();
    expect(readPulled(page([line], ',"cursor":"a1.7","more":1}'))).toBeUndefined();
    expect(readPulled(page([line], ''))).toBeUndefined();
    expect(readPulled(page([line], ',"cursor":"a1.7"'))).toBeUndefined();
    expect(readPulled(`${page([line])}{}`)).toBeUndefined();
    expect(readPulled(JSON.stringify({ cursor: 'a1.7', records: [sighting], more: false }))).toBeUndefined();
    expect(readPulled('<html>')).toBeUndefined();
  });
});
