import { describe, expect, it } from 'vitest';
import { sexWritings } from './sex-codes.ts';

/** `W=F` for each value that is kept otherwise than it was found. Meanings: general knowledge, no source. */
const made = (counts: Record<string, number>, chosen?: Record<string, string>) =>
  sexWritings(new Map(Object.entries(counts)), new Map(Object.entries(chosen ?? {})))
    .filter(({ found, kept }) => found !== kept)
    .map(({ found, kept }) => `${found}=${kept}`);

describe('sexWritings', () => {
  it.each<[string, Record<string, number>, string[]]>([
    [
      'letters and words of several lists',
      { M: 50, W: 30, m: 4, F: 3, weiblich: 2, D: 1, X: 1 },
      ['m=M', 'F=W', 'weiblich=W', 'X=D'],
    ],
    ['hombre and mujer', { H: 50, M: 40, Mujer: 2 }, ['Mujer=M']],
    ['homme, and M for masculin', { H: 50, F: 40, M: 3 }, ['M=H']],
    ['Damen and Herren', { H: 50, D: 40, Damen: 3 }, ['Damen=D']],
    ['nainen and mies', { M: 50, N: 40, Mies: 3 }, ['Mies=M']],
    ['kvinde and mand', { K: 50, M: 40, Kvinder: 2, mænd: 1 }, ['Kvinder=K', 'mænd=M']],
    ['one way each', { F: 3, M: 4 }, []],
  ])('makes one of one meaning: %s', (_, counts, expected) => {
    expect(made(counts)).toEqual(expected);
  });

  it('leaves what it does not know, and touches nothing where that is most of the column', () => {
    expect(made({ M: 50, m: 4, '?': 2 })).toEqual(['m=M']);
    expect(made({ M40: 50, W35: 40, M: 4, m: 2 })).toEqual([]);
  });

  it('lets a person have the last word', () => {
    expect(made({ M: 50, m: 4, D: 2 }, { m: 'm', D: '' })).toEqual(['D=']);
  });

  it('gives the values with their runners, the most frequent first', () => {
    expect(
      sexWritings(
        new Map([
          ['f', 1],
          ['F', 3],
        ]),
      ),
    ).toEqual([
      { found: 'F', runners: 3, kept: 'F' },
      { found: 'f', runners: 1, kept: 'F' },
    ]);
    expect(sexWritings(new Map())).toEqual([]);
  });
});
