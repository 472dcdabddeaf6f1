type Meaning = 'female' | 'male' | 'other';

/** Words and letters for a sex in the languages of large road races, without case and accents. From general knowledge. */
const WORDS: Record<Meaning, string> = {
  female:
    'f w v k z female woman women girl lady ladies mrs ms miss weiblich frau frauen dame damen femme femmes feminin ' +
    'feminine mme mlle madame femenino femenina mujer mujeres feminino feminina mulher mulheres donna donne femmina ' +
    'femminile signora vrouw vrouwen vrouwelijk dames mevrouw kvinna kvinnor kvinde kvinder kvinne kvinner dam damer ' +
    'pige jente flicka nainen naiset tytto kobieta zena 女 女子 女性 여',
  male:
    'm h male man men boy gentleman mr mannlich mann manner herr herren homme hommes masculin monsieur masculino hombre ' +
    'hombres homem homens uomo uomini maschio maschile signore mannelijk mannen heer heren meneer mand mænd menn herre ' +
    'herrer herrar man dreng gutt pojke mies miehet poika mezczyzna muz 男 男子 男性 남',
  other:
    'x d nb nonbinary divers diverse other autre otro altro anders annan annet andet muu outro ikkebinær ickebinar',
};
const MEANINGS = new Map<string, Meaning>(
  (Object.keys(WORDS) as Meaning[]).flatMap((meaning) => WORDS[meaning].split(' ').map((word) => [word, meaning])),
);

/** Without case, accents and punctuation; a class of ages such as `M40` is no word. */
const plainWord = (text: string): string =>
  text
    .replace(/.*\d.*/s, '')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/ł/gi, 'l')
    .toLowerCase()
    .replace(/[^\p{L}]/gu, '');

/** Letters that mean one thing or another by what stands beside them in the column. */
function meaningOf(word: string, words: ReadonlySet<string>): Meaning | undefined {
  const otherFemale = [...words].some((one) => !one.startsWith(word) && MEANINGS.get(one) === 'female');
  // Hombre and mujer, homem and mulher.
  if (word === 'm' && words.has('h') && !otherFemale && !words.has('d')) return 'female';
  // Dam and herr, Damen and Herren.
  if (word === 'd' && words.has('h') && !words.has('m') && !otherFemale) return 'female';
  // Nainen beside mies.
  if (word === 'n') return words.has('m') && !otherFemale ? 'female' : undefined;
  return MEANINGS.get(word);
}

/** One way in which a column writes a sex. */
export interface SexWriting {
  readonly found: string;
  readonly runners: number;
  /** What is kept in its place; empty: nothing. */
  readonly kept: string;
}

/** Below this share of runners with a word that is known here the column may mean something else (no source). */
const KNOWN_FROM = 0.8;

/**
 * For each way in which a column writes a sex, the one way to keep, the most frequent first: of those with the same
 * meaning the most frequent writing. A value that is no word for a sex stays, and all of them do where such values are
 * many. What a person chose stands above all of it.
 *
 * @param counts how often each value is there, in the order of the file, which decides between equals
 * @param chosen what a person wants kept, by the value found
 */
export function sexWritings(
  counts: ReadonlyMap<string, number>,
  chosen: ReadonlyMap<string, string> = new Map(),
): SexWriting[] {
  const values = [...counts].sort(([, m], [, n]) => n - m);
  const words = new Set(values.map(([value]) => plainWord(value)));
  const all = values.reduce((sum, [, runners]) => sum + runners, 0);
  const meanings = new Map(values.map(([value]) => [value, meaningOf(plainWord(value), words)]));
  const known = values.reduce((sum, [value, runners]) => sum + (meanings.get(value) ? runners : 0), 0);
  const mostFrequent = new Map<Meaning, string>();
  for (const [value] of values) {
    const meaning = meanings.get(value);
    if (meaning && !mostFrequent.has(meaning)) mostFrequent.set(meaning, value);
  }
  return values.map(([found, runners]) => {
    const meaning = known >= KNOWN_FROM * all ? meanings.get(found) : undefined;
    return { found, runners, kept: chosen.get(found) ?? (meaning && mostFrequent.get(meaning)) ?? found };
  });
}
