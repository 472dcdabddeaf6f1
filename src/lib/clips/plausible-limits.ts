import type { Gait } from '../records/foot.ts';

/** The figures that have limits, in the order used everywhere. */
export const LIMITED_FIGURES = ['contact', 'flight', 'cadence', 'duty', 'strikeAngle', 'shankAngle'] as const;
export type LimitedFigure = (typeof LIMITED_FIGURES)[number];

/** Least and greatest value that passes without a question, both included. */
export type Limits = readonly [low: number, high: number];

/**
 * What running and walking look like: seconds, steps a minute, a share, degrees. A value outside is worth a second look
 * and is dropped nowhere. The ends are common practice, no source. Well inside them lies what was measured: contact 271 to
 * 284 ms, flight 80 to 112 ms and duty factor 0.36 to 0.39 in 39 adults (J Exp Biol, older and young runners, table 4);
 * contact 240, 230 and 207 ms at 14.9, 16.3 and 19.7 km/h (J Sports Sci Med 16:187, table 1); 160 steps a minute at
 * 12.7 km/h (Front Sports Act Living 1:53).
 */
export const PLAUSIBLE: Readonly<Record<Gait, Readonly<Partial<Record<LimitedFigure, Limits>>>>> = {
  run: {
    contact: [0.12, 0.45],
    flight: [0, 0.25],
    cadence: [120, 240],
    duty: [0.2, 0.5],
    strikeAngle: [-25, 40],
    shankAngle: [-15, 30],
  },
  walk: { contact: [0.4, 1.1], cadence: [70, 150], duty: [0.5, 0.75] },
};

/** A quotient that is a limit but for its last binary digits is that limit. */
const ROUNDING = 1e-9;

export function isOutside(value: number, [low, high]: Limits): boolean {
  return value < low - ROUNDING || value > high + ROUNDING;
}
