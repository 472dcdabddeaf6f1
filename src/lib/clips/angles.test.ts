import { describe, expect, it } from 'vitest';
import { angleClass, levelDegrees, shankAngle, strikeAngle, strikeIndex, type View } from './angles.ts';

const view = (more: Partial<View> = {}): View => ({ direction: 'right', lensOffDegrees: 0, levelDegrees: 0, ...more });
const RADIANS = Math.PI / 180;

/** A shoe of 60 pixels with its toe up by `degrees`, seen from `lens` degrees off the perpendicular. */
function shoe(degrees: number, { lens = 0, ahead = 1 } = {}) {
  const across = Math.cos(degrees * RADIANS) * Math.cos(lens * RADIANS) * ahead;
  return { heel: { x: 3000, y: 4000 }, toe: { x: 3000 + 600 * across, y: 4000 - 600 * Math.sin(degrees * RADIANS) } };
}

describe('strike angle', () => {
  it('is the toe up against the flat shoe, in both directions, whatever the tilt of the camera', () => {
    expect(strikeAngle(shoe(15), shoe(0), view())!.degrees).toBeCloseTo(15, 9);
    const left = { ahead: -1 };
    expect(strikeAngle(shoe(-4, left), shoe(2, left), view({ direction: 'left' }))!.degrees).toBeCloseTo(-6, 9);
  });

  it.each([
    [10, 15.2],
    [20, 15.9],
    [30, 17.2],
  ])('15.0° seen with the lens %i° off reads %f° uncorrected, and 15.0° corrected', (lens, reads) => {
    // Plane geometry: tan reads = tan 15° ÷ cos lens.
    const seen = shoe(15, { lens });
    expect(strikeAngle(seen, shoe(0, { lens }), view())!.degrees).toBeCloseTo(reads, 1);
    expect(strikeAngle(seen, shoe(0, { lens }), view({ lensOffDegrees: lens }))!.degrees).toBeCloseTo(15, 9);
  });

  it('is not told of a shoe shorter than 40 pixels', () => {
    const short = { heel: { x: 0, y: 0 }, toe: { x: 399, y: 0 } };
    expect(strikeAngle(short, shoe(0), view())).toBeNull();
    expect(strikeAngle({ ...short, toe: { x: 400, y: 0 } }, shoe(0), view())).not.toBeNull();
  });

  it('has standard deviation 2σ/L for shoes of equal length', () => {
    expect(Math.sqrt(strikeAngle(shoe(0), shoe(0), view())!.variance)).toBeCloseTo(2 / 60 / RADIANS, 6);
  });

  it('gives a class apart from its cut-offs only', () => {
    const of = (degrees: number, sd = 1) => angleClass({ degrees, variance: sd ** 2 });
    expect([of(9), of(8.4), of(3), of(-1.8), of(-3)]).toEqual([
      ...['rearfoot', 'uncertain', 'midfoot', 'uncertain', 'forefoot'],
    ]);
    expect(angleClass({ degrees: 7.9, variance: 0.0001 }, { rearfoot: 8, forefoot: -1.6 })).toBe('midfoot');
  });
});

it('the shank leans forward with the ankle ahead of the knee, less the tilt of the picture', () => {
  const [knee, ankle] = [
    { x: 1000, y: 1000 },
    { x: 1100, y: 2000 },
  ];
  const lean = Math.atan(0.1) / RADIANS;
  expect(shankAngle(knee, ankle, view())!.degrees).toBeCloseTo(lean, 9);
  expect(shankAngle(knee, ankle, view({ direction: 'left', levelDegrees: 2 }))!.degrees).toBeCloseTo(-lean + 2, 9);
  expect(shankAngle(knee, knee, view())).toBeNull();
  expect(levelDegrees([0, 10, 100, 0])).toBeCloseTo(lean, 1);
});

it('the strike index runs from heel to toe and beyond', () => {
  const points = { heel: { x: 0, y: 0 }, toe: { x: 500, y: 0 } };
  expect(strikeIndex(points, { x: 166.5, y: 40 })).toBeCloseTo(33.3, 9);
  expect(strikeIndex(points, { x: -50, y: 0 })).toBeCloseTo(-10, 9);
  expect(strikeIndex({ heel: points.heel, toe: points.heel }, points.toe)).toBeNull();
});
