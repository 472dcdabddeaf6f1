import { describe, expect, it } from 'vitest';
import { expectedContact, nearestFrame } from './expected-contact.ts';

describe('where the next contact is expected', () => {
  it('is the last contact and the median step', () => {
    expect(expectedContact([1, 1.35, 1.71], 1.9)).toBeCloseTo(1.71 + 0.36, 9);
    expect(expectedContact([1, 1.35, 1.71], 1.4)).toBeCloseTo(1.35 + 0.36, 9);
  });

  it('is a usual step away where no step is known', () => {
    expect(expectedContact([], 2)).toBeCloseTo(2 + 60 / 165, 9);
    expect(expectedContact([3], 3)).toBeCloseTo(3 + 60 / 165, 9);
  });
});

it('finds the frame that is nearest in time, also where frames are missing', () => {
  const times = [0, 10, 20, 60, 70];
  expect([-5, 0, 4, 6, 39, 41, 1000].map((time) => nearestFrame(times, time))).toEqual([0, 0, 0, 1, 2, 3, 4]);
});
