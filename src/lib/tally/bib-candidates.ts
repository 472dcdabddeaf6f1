import type { BibList } from '../race/bib-list.ts';
import { lookAlikeBibs } from '../race/look-alike-bibs.ts';

/** Bibs to offer for what has been typed: those it may become, and when it is nobody's, those it may have been meant for. */
export function bibCandidates(typed: string, bibs: BibList, limit: number, isSeen: (bib: string) => boolean): string[] {
  if (!typed || !bibs.size) return [];
  const fresh = bibs.completions(typed, limit, (bib) => !isSeen(bib));
  if (fresh.length) return fresh;
  const longer = bibs.completions(typed, limit);
  if (longer.length || bibs.has(typed)) return longer;
  const meant = lookAlikeBibs(typed).filter((bib) => bibs.has(bib));
  return [...meant.filter((bib) => !isSeen(bib)), ...meant.filter(isSeen)].slice(0, limit);
}
