/** How long the race is, as far as is known: `least` km at least, `most` km at most. */
export interface RaceLength {
  readonly least: number;
  readonly most: number;
}

/** Of a race whose last checkpoint alone is known: rarely does the finish lie farther (common practice, no source). */
const FINISH_BEYOND_LAST_CHECKPOINT = 2.5;

/** The length of a race by its course, or by its last checkpoint; `null` when neither is known. */
export function raceLength(courseKm: number | undefined, lastCheckpointKm: number | undefined): RaceLength | null {
  if (courseKm !== undefined && courseKm > 0) return { least: courseKm, most: courseKm };
  if (lastCheckpointKm === undefined || !(lastCheckpointKm > 0)) return null;
  return { least: lastCheckpointKm, most: lastCheckpointKm * FINISH_BEYOND_LAST_CHECKPOINT };
}

// Limits of pace in seconds for one km. Nobody has run even a mile at 2:20 a km; a field whose middle takes more than 13:00, or
// whose first more than 9:00, is no running race; a runner slower than 40:00 stood still (common practice, no source).
const FASTEST = 140;
const SLOWEST_WINNER = 540;
const SLOWEST_MIDDLE = 780;
const SLOWEST = 2400;

/** Whether one runner can have taken this long. */
export function isPossible(seconds: number, { least, most }: RaceLength): boolean {
  return seconds >= least * FASTEST && seconds <= most * SLOWEST;
}

/** More impossible times than this share, and they have been read wrongly. */
const MOST_IMPOSSIBLE = 0.2;

/** Whether a field can have taken these times, in seconds. */
export function isPossibleField(times: readonly number[], length: RaceLength): boolean {
  if (times.length === 0) return false;
  const sorted = [...times].sort((a, b) => a - b);
  const impossible = sorted.filter((time) => !isPossible(time, length)).length;
  if (impossible > MOST_IMPOSSIBLE * sorted.length) return false;
  return sorted[0]! <= length.most * SLOWEST_WINNER && sorted[sorted.length >> 1]! <= length.most * SLOWEST_MIDDLE;
}
