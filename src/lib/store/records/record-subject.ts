import { kindEntry, type RecordKind } from '../../records/kinds.ts';

/** What a record decides (see `KindEntry.subject`), as one text: a record's id, or a bib at a checkpoint. */
export function recordSubject(record: { readonly kind: RecordKind }): string | undefined {
  const { subject } = kindEntry(record.kind);
  if (subject === null) return undefined;
  const given = record as Readonly<Record<string, unknown>>;
  if (subject === 'target') return String(given['target']);
  return subject.map((field) => String(given[field])).join('\u0000');
}

/** The same in the index over blocks, which holds every race. */
export const blockSubject = (raceId: string, subject: string) => `${raceId}\u0000${subject}`;
