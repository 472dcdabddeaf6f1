import { expect, test } from 'vitest';
import { Allowances } from './allowances.ts';

const START = 1_000_000;

test('gives what may come at once, and after that the rate', () => {
  const allowances = new Allowances({ atOnce: 100, perSecond: 2 });
  expect(allowances.waitS('a', START)).toBe(0);
  allowances.spend('a', 60, START);
  expect(allowances.waitS('a', START)).toBe(0);
  allowances.spend('a', 60, START);
  // 20 too many at 2 a second.
  expect(allowances.waitS('a', START)).toBe(10);
  expect(allowances.waitS('b', START)).toBe(0);
  expect(allowances.waitS('a', START + 9_000)).toBe(1);
  expect(allowances.waitS('a', START + 10_500)).toBe(0);
});

test('never has more at once than it may, however long nothing came', () => {
  const allowances = new Allowances({ atOnce: 10, perSecond: 1 });
  allowances.spend('a', 5, START);
  allowances.spend('a', 10, START + 86_400_000);
  expect(allowances.waitS('a', START + 86_400_000)).toBe(1);
});

test('a clock that is set back neither gives nor takes', () => {
  const allowances = new Allowances({ atOnce: 10, perSecond: 1 });
  allowances.spend('a', 15, START);
  expect(allowances.waitS('a', START - 3_600_000)).toBe(5);
});

test('forgets those that have everything again, and no other', () => {
  const allowances = new Allowances({ atOnce: 10, perSecond: 1 });
  allowances.spend('in debt', 1_000, START);
  for (let i = 0; i < 6_000; i += 1) allowances.spend(`passing ${i}`, 1, START + i);
  expect(allowances.waitS('in debt', START + 6_000)).toBe(984);
});
