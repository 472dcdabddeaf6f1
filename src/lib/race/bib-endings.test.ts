import * as v from 'valibot';
import { expect, it } from 'vitest';
import { bibEndingsSchema } from './race.ts';

/** What Set-up and a plan say of a list of endings. */
const said = (endings: readonly string[]): string | undefined =>
  v.safeParse(bibEndingsSchema, endings).issues?.[0].message;

it.each([
  [['7', '07'], 'bibs that end in 07 end in 7 too; leave one of them out'],
  [['3', '3'], 'an ending is there twice'],
  [[], 'expected 1 to 20 endings'],
  [['A7'], 'expected 1 to 6 digits, such as 3 or 07'],
  [['1234567'], 'expected 1 to 6 digits, such as 3 or 07'],
])('says what is wrong with %j', (endings, sentence) => {
  expect(said(endings)).toBe(sentence);
});

it('takes endings of unlike lengths that share no bib', () => {
  expect(said(['3', '07', '123456'])).toBeUndefined();
});
