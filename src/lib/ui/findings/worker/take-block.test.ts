import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordSet } from '../../../../../tests/helpers/records/record-arbitraries.ts';
import { RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import { takeBlock } from './take-block.ts';

const told = ({ ids, ...columns }: GatheredRecords) => ({ ...columns, ids: ids.words() });

test('takes from the text of a block what parsing it gives', () => {
  fc.assert(
    fc.property(recordSet, fc.boolean(), (records, spaced) => {
      const [fromText, parsed] = [new RecordGatherer(), new RecordGatherer()];
      takeBlock(fromText, { records: JSON.stringify(records, null, spaced ? 1 : 0) });
      parsed.take(records);
      expect(told(fromText.finish())).toEqual(told(parsed.finish()));
    }),
  );
});

test('reads a block as older versions kept it, and one whose notes have many braces', () => {
  const all = fc.sample(recordSet, { seed: 1, numRuns: 50 }).flat();
  const records = all.filter(({ kind }) => kind === 'sighting').slice(0, 2);
  const braced = records.map((record) => ({ ...record, note: '}'.repeat(20) }));
  for (const block of [{ records }, { records: JSON.stringify(braced) }]) {
    const gatherer = new RecordGatherer();
    takeBlock(gatherer, block);
    expect(gatherer.size).toBe(2);
  }
});
