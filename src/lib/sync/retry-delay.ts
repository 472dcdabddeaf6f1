const FIRST_MS = 1_000;
const LONGEST_MS = 60_000;

/**
 * Milliseconds to wait after `failures` contacts in a row that failed (at least 1): doubled each time up to a minute, and
 * half of it left to chance, so that tablets that lost the hub together do not all come back in one moment.
 *
 * @param random at least 0, less than 1
 */
export function retryDelayMs(failures: number, random: number): number {
  const full = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures - 1, 10));
  return full * (0.5 + random / 2);
}
