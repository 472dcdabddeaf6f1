import type { Findings } from './findings.ts';
import { one } from './note-words.ts';

/** What was left out on reading, and what is null without results. */
export function inputNotes({ inputs, finish }: Findings): string[] {
  const notes: string[] = [];
  const { excluded, matched, unmatchedBibs } = inputs;
  if (excluded.noBib > 0) {
    notes.push(`Left out of every figure because nobody read a bib: ${one(excluded.noBib, 'sighting')}.`);
  }
  if (excluded.repeats > 0) {
    notes.push(
      `Replaced by a later entry of the same observer for the same runner at the same checkpoint: ${one(excluded.repeats, 'sighting')}.`,
    );
  }
  if (excluded.passed > 0) {
    notes.push(
      `Let pass by the sampling rule and counted, not looked at: ${one(excluded.passed, 'sighting')}. They are in no share and no test.`,
    );
  }
  if (excluded.sameRecord > 0) notes.push(`Records met again and counted once: ${one(excluded.sameRecord, 'row')}.`);
  if (!finish) {
    notes.push(
      'finish, coverage and the counts of results, matched and unmatchedBibs are null: no results were given.',
    );
  } else if (unmatchedBibs) {
    notes.push(
      `Sighted bibs that are not in the results: ${unmatchedBibs} of ${unmatchedBibs + (matched ?? 0)}; misread, or runners without a result.`,
    );
  }
  return notes;
}
