import type { TallyRecord } from '../records/record.ts';

/** What a correction, withdrawal or ruling is about: a record's id, or a bib at a checkpoint. */
export function recordSubject(
  record: Pick<TallyRecord, 'kind'> & { target?: string; checkpoint?: string; bib?: string | null },
) {
  if (record.kind === 'sighting') return undefined;
  return record.kind === 'ruling' ? `${record.checkpoint}\u0000${record.bib}` : record.target;
}

/** The same in the index over blocks, which holds every race. */
export const blockSubject = (raceId: string, subject: string) => `${raceId}\u0000${subject}`;
