import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RACE_ID, recordId } from '../../../tests/helpers/records/record-arbitraries.ts';
import { countByDevice, shortDeviceName } from './missing-records.ts';
import type { Withdrawal } from './record.ts';

const record = (device: string, seq: number, observer = 'A'): Withdrawal => ({
  ...{ id: recordId(seq), kind: 'withdrawal', race: RACE_ID, observer, device, seq },
  ...{ madeAt: '2026-10-04T07:30:00.000Z', target: recordId(0) },
});

describe('countByDevice', () => {
  it('finds the gaps in each device’s numbers', () => {
    expect(countByDevice([record('b', 1), record('a', 5, 'B'), record('a', 2), record('a', 3)])).toEqual([
      {
        device: 'a',
        observer: 'B',
        records: 3,
        lastSeq: 5,
        gaps: [
          [1, 1],
          [4, 4],
        ],
      },
      { device: 'b', observer: 'A', records: 1, lastSeq: 1, gaps: [] },
    ]);
    expect(countByDevice([])).toEqual([]);
  });

  it('accounts for every number up to the last, in any order and with any repetition', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1 }), (seqs) => {
        const [count] = countByDevice(seqs.map((seq) => record('a', seq)));
        const here = new Set(seqs);
        const missing = count!.gaps.flatMap(([first, last]) =>
          Array.from({ length: last - first + 1 }, (_, i) => first + i),
        );
        expect(missing).toEqual(
          Array.from({ length: Math.max(...seqs) }, (_, i) => i + 1).filter((seq) => !here.has(seq)),
        );
        expect(countByDevice([...seqs, ...seqs].reverse().map((seq) => record('a', seq)))[0]).toEqual(count);
      }),
    );
  });
});

describe('shortDeviceName', () => {
  it('is the end of the id, which differs even between devices set up in the same second', () => {
    expect(shortDeviceName('01920000-0000-7000-8000-00000000a3f9')).toBe('A3F9');
  });
});
