/** Ways in which a list may write a bib otherwise than the observers did. `as-written`: the same characters. */
export const BIB_FORMS = [
  'as-written',
  'without-zeros',
  'without-decimals',
  'without-letters',
  'digits-alone',
] as const;
export type BibForm = (typeof BIB_FORMS)[number];

export const BIB_FORM_WORDS: Record<BibForm, string> = {
  'as-written': 'as written',
  'without-zeros': 'without leading zeros',
  'without-decimals': 'without ".0" at the end',
  'without-letters': 'without the letters in front',
  'digits-alone': 'by their digits alone',
};

const withoutZeros = (bib: string): string => bib.replace(/^0+(?=\d)/, '');
const withoutDecimals = (bib: string): string => bib.replace(/^(\d+)[.,]0+$/, '$1');
const withoutLetters = (bib: string): string => bib.replace(/^[^\d]+(?=\d)/u, '');

/** What has no digit stays as it is. */
const digits = (bib: string): string => bib.replace(/\D/g, '') || bib;

const READ: Record<BibForm, (bib: string) => string> = {
  'as-written': (bib) => bib,
  'without-zeros': withoutZeros,
  'without-decimals': withoutDecimals,
  'without-letters': withoutLetters,
  'digits-alone': (bib) => withoutZeros(digits(withoutDecimals(bib))),
};

/** How the bibs of a list meet the sighted ones. */
export interface BibMatch {
  readonly sighted: number;
  readonly matched: number;
  /** The plainest form in which clearly more would match; `null` when none does. */
  readonly better: { readonly form: BibForm; readonly matched: number } | null;
}

/** For each listed bib, read in a form, the sighted bib it stands for. Two that meet in one form stand for nobody. */
export function sightedByListed(
  listed: readonly string[],
  sighted: readonly string[],
  form: BibForm,
): ReadonlyMap<string, string> {
  const read = READ[form];
  const once = (bibs: readonly string[]): Map<string, string> => {
    const found = new Map<string, string>();
    const twice = new Set<string>();
    for (const bib of bibs) {
      const key = read(bib);
      if (found.has(key)) twice.add(key);
      found.set(key, bib);
    }
    for (const key of twice) found.delete(key);
    return found;
  };
  const seen = once(sighted);
  const map = new Map<string, string>();
  for (const [key, bib] of once(listed)) {
    const met = seen.get(key);
    if (met !== undefined) map.set(bib, met);
  }
  return map;
}

/** Below this share of the sighted bibs in a list, another form is looked for. */
const ENOUGH = 0.5;

/** @param listed no bib twice; `sighted` neither */
export function matchBibs(listed: readonly string[], sighted: readonly string[]): BibMatch {
  const seen = new Set(sighted);
  const matched = listed.reduce((count, bib) => count + (seen.has(bib) ? 1 : 0), 0);
  const outcome = { sighted: sighted.length, matched };
  if (sighted.length === 0 || matched >= ENOUGH * sighted.length) return { ...outcome, better: null };
  const others = BIB_FORMS.slice(1).map((form) => ({ form, matched: sightedByListed(listed, sighted, form).size }));
  const most = Math.max(...others.map((other) => other.matched));
  // The first form that reaches it is the plainest.
  const better = most > 2 * matched ? (others.find((other) => other.matched === most) ?? null) : null;
  return { ...outcome, better };
}

/** The same rows under the bibs that were sighted; those that met nobody keep theirs. */
export function rowsInForm<Row extends { bib: string }>(
  rows: readonly Row[],
  sighted: readonly string[],
  form: BibForm,
): Row[] {
  if (form === 'as-written') return [...rows];
  const met = sightedByListed(
    rows.map(({ bib }) => bib),
    sighted,
    form,
  );
  return rows.map((row) => ({ ...row, bib: met.get(row.bib) ?? row.bib }));
}

/** `None of these bibs was sighted; without leading zeros 301 would be.` Nothing when the list is as it should be. */
export function bibMatchWords({ matched, sighted, better }: BibMatch): string | null {
  if (!better) return null;
  const now =
    matched === 0
      ? 'None of these bibs was sighted'
      : `Only ${matched} of the ${sighted} sighted bibs are in this list`;
  return `${now}; ${BIB_FORM_WORDS[better.form]} ${better.matched} would be.`;
}
