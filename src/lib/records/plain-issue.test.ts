import * as v from 'valibot';
import { expect, test } from 'vitest';
import { plainIssue } from './plain-issue.ts';

const schema = v.strictObject({
  id: v.string(),
  name: v.optional(v.pipe(v.string(), v.minLength(1), v.maxLength(4), v.regex(/^[a-z]*$/, 'expected small letters'))),
  foot: v.optional(v.picklist(['left', 'right'])),
  bib: v.optional(v.nullable(v.string())),
  finish: v.optional(v.pipe(v.number(), v.gtValue(0))),
  seq: v.optional(v.pipe(v.number(), v.safeInteger(), v.minValue(1))),
  rows: v.optional(v.pipe(v.array(v.object({ km: v.number() })), v.maxLength(2))),
});

test.each([
  [{}, 'id: is missing'],
  [{ id: 5 }, 'id: expected text, found 5'],
  [{ id: null }, 'id: expected text, found null'],
  [{ id: [] }, 'id: expected text, found a list'],
  [{ id: 'a', colour: 'red' }, 'colour: is no field that belongs here'],
  [{ id: 'a', foot: 'toe' }, 'foot: expected "left" or "right", found "toe"'],
  [{ id: 'a', name: '' }, 'name: expected at least 1 character'],
  [{ id: 'a', name: 'abcde' }, 'name: expected at most 4 characters'],
  [{ id: 'a', name: 'A' }, 'name: expected small letters'],
  [{ id: 'a', bib: 7 }, 'bib: expected text, found 7'],
  [{ id: 'a', seq: 0 }, 'seq: expected at least 1'],
  [{ id: 'a', finish: 0 }, 'finish: expected more than 0'],
  [{ id: 'a', seq: 1.5 }, 'seq: expected a whole number, found 1.5'],
  [{ id: 'a', rows: {} }, 'rows: expected a list, found an object'],
  [{ id: 'a', rows: [{}] }, 'rows.0.km: is missing'],
  [{ id: 'a', rows: [{ km: 1 }, { km: 2 }, { km: 3 }] }, 'rows: expected at most 2 entries'],
  [7, 'expected an object, found 7'],
])('%j: %s', (value, words) => {
  const parsed = v.safeParse(schema, value, { abortEarly: true });
  expect(parsed.success).toBe(false);
  expect(parsed.issues?.map(plainIssue)).toEqual([words]);
});

test('a message without its kind lacks just that', () => {
  const parsed = v.safeParse(
    v.variant('kind', [v.object({ kind: v.literal('a') }), v.object({ kind: v.literal('b') })]),
    {},
  );
  expect(parsed.issues?.map(plainIssue)).toEqual(['kind: is missing']);
});
