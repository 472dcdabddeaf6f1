import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordSet } from '../../../../../tests/helpers/record-arbitraries.ts';
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

test('reads a block as older versions kept it, and one whose note has many braces', () => {
  const [sighting] = fc
    .sample(recordSet, { seed: 1, numRuns: 50 })
    .flat()
    .filter(({ kind }) => kind === 'sighting');
  const record = { ...sighting!, note: '}'.repeat(20) };
  for (const records of [[record], JSON.stringify([record, { ...record, id: record.id.replace(/.$/, '0') }])]) {
    const gatherer = new RecordGatherer();
    takeBlock(gatherer, { records });
    expect(gatherer.size).toBe(typeof records === 'string' ? 2 : 1);
  }
});
