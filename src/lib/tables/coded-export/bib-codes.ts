import type { RandomBytes } from '../../records/new-id.ts';

const LETTERS = 'ACDEFGHJKLMNPRTUVWXY3479';
const LENGTH = 6;

function randomCode(randomBytes: RandomBytes): string {
  let code = '';
  while (code.length < LENGTH) {
    for (const byte of randomBytes(new Uint8Array(LENGTH * 2))) {
      // Bytes above the last whole multiple would make the first letters likelier.
      if (byte < LETTERS.length * Math.floor(256 / LETTERS.length) && code.length < LENGTH) {
        code += LETTERS[byte % LETTERS.length]!;
      }
    }
  }
  return code;
}

/**
 * A code for each bib, drawn at random, so that neither its order nor its form says anything of the bib. Bibs that have
 * one in `known` keep it: a later export of the same race uses the same codes.
 *
 * @param bibs in any order, repeats do not matter
 * @param randomBytes where the codes come from; whoever can guess it can guess the codes
 * @returns for every bib of `known` and `bibs` a code that no other has
 */
export function bibCodes(
  bibs: Iterable<string>,
  known: ReadonlyMap<string, string>,
  randomBytes: RandomBytes,
): Map<string, string> {
  const codes = new Map(known);
  const taken = new Set(codes.values());
  for (const bib of bibs) {
    if (codes.has(bib)) continue;
    let code = randomCode(randomBytes);
    while (taken.has(code)) code = randomCode(randomBytes);
    taken.add(code);
    codes.set(bib, code);
  }
  return codes;
}
