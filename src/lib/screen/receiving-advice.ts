/** When codes were last seen while receiving, milliseconds of one clock; `null` for never. */
export interface CodesSeen {
  readonly startedAt: number;
  /** A code of the sequence that is being received. */
  readonly ownAt: number | null;
  /** A code of another sequence. */
  readonly otherAt: number | null;
}

/** What helps a person who films: `begin-anew` when only another tablet's codes are in view. */
export type ReceivingAdvice = 'closer' | 'coarser' | 'begin-anew' | null;

const NO_CODE_MS = 2000;
const NO_CODE_LONG_MS = 6000;
const ONLY_OTHERS_MS = 3000;

/** What to advise now; nothing while codes come. */
export function receivingAdvice({ startedAt, ownAt, otherAt }: CodesSeen, now: number): ReceivingAdvice {
  const sinceOwn = now - (ownAt ?? startedAt);
  const sinceOther = otherAt === null ? Infinity : now - otherAt;
  if (ownAt !== null && sinceOwn >= ONLY_OTHERS_MS && sinceOther < NO_CODE_MS) return 'begin-anew';
  const sinceAny = Math.min(sinceOwn, sinceOther);
  if (sinceAny >= NO_CODE_LONG_MS) return 'coarser';
  return sinceAny >= NO_CODE_MS ? 'closer' : null;
}

/** Seconds until all parts are there at the pace so far, or `null` before that can be said. */
export function secondsLeft(parts: number, needed: number, sinceFirstMs: number): number | null {
  if (parts < 2 || sinceFirstMs <= 0) return null;
  return Math.ceil(((needed - parts) * sinceFirstMs) / 1000 / (parts - 1));
}
