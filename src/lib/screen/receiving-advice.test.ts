import { expect, test } from 'vitest';
import { receivingAdvice, secondsLeft } from './receiving-advice.ts';

test('advises after 2 s without a code, and otherwise after 6 s', () => {
  const none = { startedAt: 1000, ownAt: null, otherAt: null };
  expect(receivingAdvice(none, 2999)).toBeNull();
  expect(receivingAdvice(none, 3000)).toBe('closer');
  expect(receivingAdvice(none, 7000)).toBe('coarser');
  expect(receivingAdvice({ ...none, ownAt: 6000 }, 7000)).toBeNull();
});

test('offers to begin anew after 3 s with another sequence alone', () => {
  const seen = { startedAt: 0, ownAt: 1000, otherAt: 3900 };
  expect(receivingAdvice(seen, 3999)).toBeNull();
  expect(receivingAdvice(seen, 4000)).toBe('begin-anew');
  // The other is gone as well: then there is no code at all.
  expect(receivingAdvice(seen, 6000)).toBe('closer');
});

test('says the seconds left at the pace so far', () => {
  expect(secondsLeft(1, 40, 500)).toBeNull();
  expect(secondsLeft(11, 41, 1000)).toBe(3);
  expect(secondsLeft(41, 41, 4000)).toBe(0);
});
