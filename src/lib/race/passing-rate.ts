/** What one observer can class in a minute without the eyes leaving the runners (common practice, no source). */
export const OBSERVER_RATE_PER_MINUTE = 20;

/**
 * How many runners pass in the busiest minute at the finish of a road race: 0.6·N/D (common practice, no source; 3,080
 * over 10 km gave 175 where it predicts 185). At a checkpoint its own km is put for D, which is an extrapolation.
 *
 * @param runners N, how many finish
 * @param km D, distance from the start, above 0
 */
export function peakRunnersPerMinute(runners: number, km: number): number {
  return (0.6 * runners) / km;
}

/** The k of "every k-th" with which `observers` side by side keep up at the peak; 1 is everyone. */
export function advisedK(peakPerMinute: number, observers: number): number {
  return Math.max(1, Math.ceil(peakPerMinute / (OBSERVER_RATE_PER_MINUTE * Math.max(1, observers))));
}
