/** Numbers in [0, 1), as `Math.random` gives them; handed in wherever chance is needed. */
export type Random = () => number;

/**
 * The same row of 32-bit words (0 to 2^32 − 1) for the same seed: a Weyl sequence whose steps are mixed by multiplication
 * and shifts (the splitmix construction of Steele, Lea and Flood, 2014, cut to 32 bits). Not for secrets.
 *
 * @param seed any integer
 */
export function seededWords(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = state ^ (state >>> 16);
    mixed = Math.imul(mixed, 0x21f0aaad);
    mixed ^= mixed >>> 15;
    mixed = Math.imul(mixed, 0x735a2d97);
    mixed ^= mixed >>> 15;
    return mixed >>> 0;
  };
}

/** The same row of numbers for the same seed, for invented data and simulations. `seed` is any integer. */
export function seededRandom(seed: number): Random {
  const nextWord = seededWords(seed);
  return () => nextWord() / 2 ** 32;
}

/** A draw from the normal distribution by the formula of Box and Muller (1958). */
export function normalDraw(random: Random, mean: number, sd: number): number {
  const radius = Math.sqrt(-2 * Math.log(1 - random()));
  return mean + sd * radius * Math.cos(2 * Math.PI * random());
}
