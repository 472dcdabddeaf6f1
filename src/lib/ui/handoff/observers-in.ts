import type { TallyRecord } from '../../records/record.ts';

/** The codes of the observers who made these records, in order. */
export function observersIn(records: readonly TallyRecord[]): readonly string[] {
  return [...new Set(records.map((record) => record.observer))].sort();
}
