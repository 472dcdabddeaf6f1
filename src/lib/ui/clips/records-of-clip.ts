import type { TallyRecord } from '$lib/records/record.ts';

/**
 * The records of one file that a reviewer may see: what is said of the clip, its own marks and sightings, and what corrects
 * or withdraws these. What others saw stays hidden, so that the review is blind.
 */
export function recordsOfClip(records: readonly TallyRecord[], clip: string, observer: string): TallyRecord[] {
  const own = records.filter(
    (record) => 'clip' in record && record.clip === clip && (record.kind === 'clip' || record.observer === observer),
  );
  const known = new Set(own.map(({ id }) => id));
  const about: TallyRecord[] = [];
  // A withdrawal of a withdrawal is made after it.
  for (const record of records) {
    if (!('target' in record) || !known.has(record.target)) continue;
    known.add(record.id);
    about.push(record);
  }
  return [...own, ...about];
}
