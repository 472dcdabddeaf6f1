import { seededWords } from '../records/seeded-random.ts';

/**
 * What each block is multiplied by in frame `n`: 1 for block n and 0 for the others while n is below `blocks`, else the
 * bytes of the words of `seededWords(session XOR n)`, the lowest byte of each word first.
 *
 * @param session 32 bits
 * @param n number of the frame, from 0
 * @param blocks how many blocks there are
 */
export function blockFactors(session: number, n: number, blocks: number): Uint8Array {
  const factors = new Uint8Array(blocks);
  if (n < blocks) {
    factors[n] = 1;
    return factors;
  }
  const nextWord = seededWords(session ^ n);
  for (let i = 0; i < blocks; i += 4) {
    const word = nextWord();
    for (let byte = 0; byte < 4 && i + byte < blocks; byte += 1) factors[i + byte] = word >>> (8 * byte);
  }
  return factors;
}
