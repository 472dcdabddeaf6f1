import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rearranged, recordSet } from '../../../tests/helpers/records/record-arbitraries.ts';
import { compareCodePoints } from './code-point-order.ts';
import { recordLine } from './canonical-record.ts';
import { mergeRecords } from './merge-records.ts';
import type { TallyRecord } from './record.ts';

const twoSets = fc.tuple(recordSet, recordSet);

describe('mergeRecords', () => {
  it('unites sets: each id once, in id order', () => {
    fc.assert(
      fc.property(twoSets, ([a, b]) => {
        const { records } = mergeRecords(a, b);
        expect(records.map((r) => r.id)).toEqual([...new Set([...a, ...b].map((r) => r.id))].sort());
      }),
    );
  });

  it('is commutative, associative and idempotent, conflicts included', () => {
    fc.assert(
      fc.property(fc.tuple(recordSet, recordSet, recordSet), ([a, b, c]) => {
        const whole = mergeRecords(a, b, c);
        expect(mergeRecords(c, b, a)).toEqual(whole);
        expect(mergeRecords(mergeRecords(a, b).records, c).records).toEqual(
          mergeRecords(a, mergeRecords(b, c).records).records,
        );
        expect(mergeRecords(whole.records, whole.records)).toEqual({ records: whole.records, conflicts: [] });
      }),
    );
  });

  it('takes the same record again, however its defaults are written, for one', () => {
    fc.assert(
      fc.property(
        recordSet.chain((records) => fc.tuple(fc.constant(records), rearranged(records))),
        ([records, again]) => {
          const spelt = again.map((r) => {
            const said: Record<string, unknown> = { note: '', ...r };
            if (said['left'] !== undefined) said['gait'] ??= 'run';
            return Object.fromEntries(Object.entries(said).reverse()) as unknown as TallyRecord;
          });
          const union = mergeRecords(records, spelt);
          expect(union.conflicts).toEqual([]);
          expect(union.records.map(recordLine)).toEqual(mergeRecords(records).records.map(recordLine));
        },
      ),
    );
  });

  it('reports one id with two contents and lets the lesser line stand', () => {
    fc.assert(
      fc.property(twoSets, ([a, b]) => {
        const lines = new Map<string, Set<string>>();
        for (const r of [...a, ...b]) lines.set(r.id, (lines.get(r.id) ?? new Set()).add(recordLine(r)));
        const { records, conflicts } = mergeRecords(a, b);
        expect(conflicts.map((c) => c.id)).toEqual(
          [...lines]
            .filter(([, l]) => l.size > 1)
            .map(([id]) => id)
            .sort(),
        );
        for (const conflict of conflicts) {
          const stands = records.find((r) => r.id === conflict.id)!;
          expect(recordLine(stands)).toBe([...lines.get(conflict.id)!].sort(compareCodePoints)[0]);
        }
      }),
    );
  });
});
