/** How alike two characters of a bib look on a moving chest. */
export type Likeness = 'alike' | 'ratherAlike' | 'unlike';

/**
 * Pairs that are taken for one another, either way round: for what Tally offers, for the ranking of Check and for the
 * slips of the demo race. Common practice, no source; there is no published table for race bibs read at the kerb.
 */
const PAIRS: Readonly<Record<Exclude<Likeness, 'unlike'>, readonly string[]>> = {
  alike: ['38', '17', '06', '56', '49'],
  ratherAlike: [
    ...['08', '68', '89', '09', '35', '27', '39', '58', '23', '69', '14', '25'],
    ...['O0', 'I1', 'B8', 'S5', 'Z2'],
  ],
};

const likenesses = new Map<string, Likeness>();
const partners = { alike: new Map<string, string[]>(), ratherAlike: new Map<string, string[]>() };
for (const likeness of ['alike', 'ratherAlike'] as const) {
  const bothWays = PAIRS[likeness].flatMap((pair) => [pair, pair[1]! + pair[0]!]);
  for (const pair of bothWays) {
    const [one, other] = [pair[0]!, pair[1]!];
    likenesses.set(pair, likeness);
    partners[likeness].set(one, [...(partners[likeness].get(one) ?? []), other]);
  }
}

/** How alike two different characters look. */
export function likenessOf(a: string, b: string): Likeness {
  return likenesses.get(a + b) ?? 'unlike';
}

/** The characters that one is taken for. */
export function lookAlikes(character: string, likeness: Exclude<Likeness, 'unlike'>): readonly string[] {
  return partners[likeness].get(character) ?? [];
}
