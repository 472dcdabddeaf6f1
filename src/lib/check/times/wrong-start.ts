import type { CheckInput } from '../input/check-input.ts';
import type { Doubt } from '../doubt.ts';
import { doubtKey } from '../doubt-key.ts';
import { median } from './robust-line.ts';

/** When the start that the set-up gives cannot be that of these sightings; common practice, no source. */
const WRONG = { leastSightings: 10, share: 0.8, beforeMs: 3_600_000, afterMs: 24 * 3_600_000 } as const;

/**
 * One doubt where the set-up has another day than the sightings: judged by it every runner would be a doubt of their own.
 * `null` when the start may be right, or there is none.
 */
export function findWrongStart({ startMs, sightings }: CheckInput): Doubt | null {
  if (startMs === null) return null;
  const times = sightings.filter((s) => s.method === 'live' && !s.timeEstimated).map((s) => s.atMs - startMs);
  const off = times.filter((ms) => ms < -WRONG.beforeMs || ms > WRONG.afterMs);
  if (times.length < WRONG.leastSightings || off.length < WRONG.share * times.length) return null;
  return {
    key: doubtKey(['wrong-start', startMs]),
    kind: 'time',
    checkpoint: null,
    bib: null,
    records: [],
    candidates: [],
    facts: { type: 'wrong-start', seconds: median(off) / 1000, sightings: off.length, of: times.length },
    proposal: null,
    weight: 1,
  };
}
