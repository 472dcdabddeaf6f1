/** Both ends of an interval; `null` where there are no data to compute them from. */
export interface Interval {
  readonly low: number | null;
  readonly high: number | null;
}

export const NO_INTERVAL: Interval = Object.freeze({ low: null, high: null });
