/** `45 s`, `12 min 05 s`, `1 h 05 min`. */
export function durationWords(seconds: number): string {
  const s = Math.round(Math.abs(seconds));
  if (s < 100) return `${s} s`;
  const minutes = Math.floor(s / 60);
  const pad = (n: number) => String(n).padStart(2, '0');
  return minutes < 60 ? `${minutes} min ${pad(s % 60)} s` : `${Math.floor(minutes / 60)} h ${pad(minutes % 60)} min`;
}

/** As `durationWords`; from two days on in days, from two years on in years: `3 days`, `20 years`. */
export function longSpanWords(seconds: number): string {
  const days = Math.round(Math.abs(seconds) / 86_400);
  if (days < 2) return durationWords(seconds);
  return days < 2 * 365 ? `${days} days` : `${Math.round(days / 365.25)} years`;
}

/**
 * How a device's clock stands, in the same words wherever it is said; below half a second it does not matter.
 *
 * @param offsetMs hub clock minus the device's
 */
export function clockWords(offsetMs: number): string {
  const seconds = Math.abs(offsetMs) / 1000;
  if (seconds < 0.5) return 'in step with the hub';
  const size = seconds < 10 ? `${seconds.toFixed(1)} s` : durationWords(seconds);
  return `${size} ${offsetMs > 0 ? 'behind' : 'ahead of'} the hub`;
}
