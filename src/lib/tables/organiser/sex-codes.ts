import { compareCodePoints } from '../../records/code-point-order.ts';

/** Words and letters for a sex in the languages of large road races, without case and accents. From general knowledge. */
const WORDS: Record<'female' | 'male' | 'other', readonly string[]> = {
  female: [
    ...[
      'f',
      'w',
      'v',
      'k',
      'z',
      'female',
      'woman',
      'women',
      'girl',
      'lady',
      'weiblich',
      'frau',
      'frauen',
      'dame',
      'damen',
    ],
    ...['femme', 'feminin', 'feminine', 'femenino', 'femenina', 'mujer', 'feminino', 'feminina', 'mulher', 'donna'],
    ...[
      'femmina',
      'femminile',
      'vrouw',
      'vrouwelijk',
      'dames',
      'kvinna',
      'kvinde',
      'kvinne',
      'nainen',
      'kobieta',
      'zena',
    ],
  ],
  male: [
    ...['m', 'h', 'male', 'man', 'men', 'boy', 'mannlich', 'mann', 'manner', 'herr', 'herren', 'homme', 'masculin'],
    ...['masculino', 'hombre', 'homem', 'uomo', 'maschio', 'maschile', 'mannelijk', 'heren', 'mand', 'mies'],
    ...['mezczyzna', 'muz'],
  ],
  other: ['x', 'd', 'nb', 'nonbinary', 'divers', 'diverse', 'other', 'autre', 'otro', 'altro', 'anders', 'annan'],
};
type Meaning = keyof typeof WORDS;
const MEANINGS = new Map<string, Meaning>(
  (Object.keys(WORDS) as Meaning[]).flatMap((meaning) => WORDS[meaning].map((word) => [word, meaning] as const)),
);

const plainWord = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/ł/gi, 'l')
    .toLowerCase()
    .replace(/[^\p{L}]/gu, '');

/**
 * For each way in which a column writes a sex, the one way to keep: the most frequent of those with the same meaning.
 * `null` when nothing is to be changed: each meaning is written in one way, or a value is no word for a sex that is known
 * here, and then the column may mean something else.
 *
 * Beside `H` alone (hombre, homme) an `M` is a woman (mujer); beside `F` or `W` it is a man.
 *
 * @param counts how often each value is there
 */
export function sexCodes(counts: ReadonlyMap<string, number>): ReadonlyMap<string, string> | null {
  const words = new Set([...counts.keys()].map(plainWord));
  const spanish = words.has('h') && words.has('m') && !words.has('f') && !words.has('w');
  const groups = new Map<Meaning, string[]>();
  for (const value of counts.keys()) {
    const word = plainWord(value);
    const meaning = spanish && word === 'm' ? 'female' : MEANINGS.get(word);
    if (meaning === undefined) return null;
    groups.set(meaning, [...(groups.get(meaning) ?? []), value]);
  }
  if ([...groups.values()].every((values) => values.length === 1)) return null;
  const kept = new Map<string, string>();
  for (const values of groups.values()) {
    const [most] = values.sort((a, b) => counts.get(b)! - counts.get(a)! || compareCodePoints(a, b));
    for (const value of values) kept.set(value, most!);
  }
  return kept;
}
