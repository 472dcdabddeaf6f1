import type { ResultRow, StartListRow } from '../../race/race.ts';
import type { CheckInput } from './check-input.ts';

/** Start list and results as the check reads them; an empty list is none. */
export function listsForCheck(
  startList: readonly StartListRow[] | null,
  results: readonly ResultRow[] | null,
): Pick<CheckInput, 'startList' | 'results'> {
  return {
    startList: startList?.length
      ? startList.map(({ bib, start }) => (start ? { bib, startMs: Date.parse(start) } : { bib }))
      : null,
    results: results?.length ? results.map(({ bib, finish }) => ({ bib, finishSeconds: finish ?? null })) : null,
  };
}
