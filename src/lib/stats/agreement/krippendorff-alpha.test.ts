import { expect, it } from 'vitest';
import { krippendorffAlpha } from './krippendorff-alpha.ts';

const size = { unitCount: 3, raterCount: 3, classCount: 2 };

it('is null without a unit rated twice, and where one class only occurs', () => {
  expect(krippendorffAlpha({ unit: [], rater: [], class: [], ...size })).toMatchObject({
    n: 0,
    estimate: null,
    units: 0,
    raters: 0,
  });
  expect(krippendorffAlpha({ unit: [0, 1], rater: [0, 1], class: [0, 1], ...size })).toMatchObject({
    estimate: null,
    units: 0,
    raters: 0,
  });
  expect(krippendorffAlpha({ unit: [0, 0], rater: [0, 1], class: [1, 1], ...size })).toMatchObject({
    estimate: null,
    units: 1,
    raters: 2,
  });
});

it('leaves out units rated once, and the raters that rated nothing else', () => {
  const two = krippendorffAlpha({ unit: [0, 0, 1, 1], rater: [0, 1, 0, 1], class: [0, 0, 1, 0], ...size });
  const lone = krippendorffAlpha({ unit: [0, 0, 1, 1, 2], rater: [0, 1, 0, 1, 2], class: [0, 0, 1, 0, 1], ...size });
  expect(lone).toEqual(two);
});

it('is 1 at full agreement and does not care about order', () => {
  expect(krippendorffAlpha({ unit: [1, 0, 1, 0], rater: [0, 1, 1, 0], class: [1, 0, 1, 0], ...size }).estimate).toBe(1);
});

it('throws for what is out of range', () => {
  expect(() => krippendorffAlpha({ unit: [3], rater: [0], class: [0], ...size })).toThrow('out of range');
  expect(() => krippendorffAlpha({ unit: [0], rater: [0, 1], class: [0], ...size })).toThrow('differ in length');
});
