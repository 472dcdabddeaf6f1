import { describe, expect, it } from 'vitest';
import { dateWords } from './date-words.ts';
import {
  chanceWords,
  clock,
  count,
  counted,
  decimal,
  listed,
  pace,
  percent,
  pointRange,
  points,
  pValue,
  ratio,
  signedPoints,
} from './numbers.ts';

describe('how figures are written', () => {
  it('writes shares with one decimal and keeps none and all for none and all', () => {
    expect(percent(0.8163)).toBe('81.6\u00a0%');
    expect(percent(0)).toBe('0.0\u00a0%');
    expect(percent(0.0002)).toBe('<0.1\u00a0%');
    expect(percent(0.99999)).toBe('>99.9\u00a0%');
    expect(percent(1)).toBe('100.0\u00a0%');
    expect(percent(null)).toBe('–');
  });

  it('uses the real minus sign and no sign on a rounded nought', () => {
    expect(decimal(-0.29)).toBe('\u22120.29');
    expect(decimal(-0.001)).toBe('0.00');
    expect(pointRange(-0.0385, 0.0352)).toBe('\u22123.9 to 3.5');
    expect(signedPoints(0.06)).toBe('+6.0');
    expect(signedPoints(-0.00001)).toBe('0.0');
    expect(points(-0.01)).toBe('1.0 point');
  });

  it.each([
    [0.0000000001, 'p <\u00a00.001'],
    [0.00099, 'p <\u00a00.001'],
    [0.0027, 'p = 0.003'],
    [0.0497, 'p = 0.0497'],
    [0.04997, 'p = 0.04997'],
    [0.0503, 'p = 0.0503'],
    [0.05, 'p = 0.050'],
    [0.056, 'p = 0.056'],
    [0.19, 'p = 0.19'],
    [0.9996, 'p >\u00a00.99'],
    [1, 'p = 1.00'],
  ])('writes a p-value of %d as %s: its side of 0.05 always shows', (p, text) => {
    expect(pValue(p)).toBe(text);
  });

  it('writes times, paces and counts', () => {
    expect(clock(7025.5)).toBe('1:57:06');
    expect(clock(59.6)).toBe('0:01:00');
    expect(clock(null)).toBe('–');
    expect(pace(305.4)).toBe('5:05');
    expect(count(1471)).toBe('1,471');
    expect(counted(1, 'runner')).toBe('1 runner');
    expect(counted(2, 'foot', 'feet')).toBe('2 feet');
    expect(ratio(7262.34)).toBe('7,262');
    expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
    expect(listed([])).toBe('');
    expect(dateWords('2026-10-04')).toBe('4 October 2026');
  });

  it('says chance in races', () => {
    expect(chanceWords(0.00001)).toBe('fewer than 1 race in 1,000');
    expect(chanceWords(0.0027)).toBe('about 3 races in 1,000');
    expect(chanceWords(0.14)).toBe('about 14 races in 100');
    expect(chanceWords(1)).toBe('nearly every race');
  });
});
