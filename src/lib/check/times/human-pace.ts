/**
 * World-best times on track and road, metres and seconds, rounded down a little; from memory, as of 2025. Nobody runs a
 * stretch of a race faster than the best ever ran that distance alone and fresh, so a shorter time is a fault of the
 * record and not a feat.
 */
export const HUMAN_PACE_BOUNDS: readonly (readonly [metres: number, seconds: number])[] = [
  [100, 9.5],
  [400, 43],
  [1500, 205],
  [5000, 755],
  [10_000, 1570],
  [21_097.5, 3400],
  [42_195, 7230],
  [100_000, 21_900],
];

/** Course markings and mats are not where the table says: the stretch may be shorter by this share. */
const STRETCH_TOLERANCE = 0.03;

/**
 * Least seconds in which a human covers `km`: between the bounds by straight lines in logarithms, beyond them at the
 * pace of the nearest, less a tolerance of 3 % for the measure of the course. 0 for no distance.
 */
export function leastHumanSeconds(km: number): number {
  const metres = km * 1000 * (1 - STRETCH_TOLERANCE);
  if (metres <= 0) return 0;
  const first = HUMAN_PACE_BOUNDS[0]!;
  const last = HUMAN_PACE_BOUNDS[HUMAN_PACE_BOUNDS.length - 1]!;
  if (metres <= first[0]) return (metres / first[0]) * first[1];
  if (metres >= last[0]) return (metres / last[0]) * last[1];
  const i = HUMAN_PACE_BOUNDS.findIndex(([bound]) => bound >= metres);
  const [m0, s0] = HUMAN_PACE_BOUNDS[i - 1]!;
  const [m1, s1] = HUMAN_PACE_BOUNDS[i]!;
  const share = Math.log(metres / m0) / Math.log(m1 / m0);
  return Math.exp(Math.log(s0) + share * Math.log(s1 / s0));
}
