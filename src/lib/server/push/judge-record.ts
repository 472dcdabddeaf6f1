import { hasRole, type Role } from '../../records/roles.ts';
import { KINDS } from '../../records/kinds.ts';
import { MOST_COUNTED, type Rejection } from '../../wire/wire.ts';
import type { SoundRecord } from '../../wire/record-list-text.ts';

/** Who brings records: a device that joined, or the organiser, who has none. */
export interface Bringer {
  readonly role: Role;
  readonly device: string | null;
}

/** A sound record that is not taken. */
export interface Refusal {
  /** As the answer gives it. */
  readonly reason: Rejection | `malformed: ${string}`;
  /** Whether it is kept apart for the organiser. */
  readonly kept: boolean;
}

export const WRONG_DEVICE: Refusal = { reason: 'wrong device', kept: true };
export const WRONG_ROLE: Refusal = { reason: 'wrong role', kept: true };
export const CONFLICT: Refusal = { reason: 'conflict', kept: true };
export const WRONG_RACE: Refusal = { reason: 'wrong race', kept: false };
export const UNKNOWN_CHECKPOINT: Refusal = { reason: 'unknown checkpoint', kept: false };
/** Of a record whose target is of a kind that it cannot be about. */
export const wrongTarget = (kinds: readonly string[]): Refusal => ({
  reason: `malformed: target: expected a ${kinds.join(' or a ')}`,
  kept: false,
});

const SEQ_TOO_GREAT: Refusal = { reason: `malformed: seq: expected at most ${MOST_COUNTED}`, kept: false };

/** What can be said against a record without the store: that it is of another race, or may not come from this bringer. */
export function judgeRecord({ record }: SoundRecord, raceId: string, bringer: Bringer): Refusal | null {
  if (record.race !== raceId) return WRONG_RACE;
  if (record.seq > MOST_COUNTED) return SEQ_TOO_GREAT;
  if (bringer.role === 'observer' && record.device !== bringer.device) return WRONG_DEVICE;
  if (!hasRole(bringer.role, KINDS[record.kind].leastRole)) return WRONG_ROLE;
  return null;
}
