import * as v from 'valibot';
import { recordLine } from '../domain/canonical-record.ts';
import { failed, type Outcome, succeeded } from '../domain/outcome.ts';
import { plainIssue } from '../domain/plain-issue.ts';
import { recordSchema, type TallyRecord } from '../domain/record.ts';
import type { Rejection, Role } from '../domain/wire.ts';
import { plainSightingLine } from './plain-sighting.ts';

/** Who brings records: a device that joined, or the organiser, who has none. */
export interface Bringer {
  readonly role: Role;
  readonly device: string | null;
}

export interface SoundRecord {
  readonly record: TallyRecord;
  /** Its canonical form, which is what the store keeps. */
  readonly line: string;
}

export interface Refusal {
  readonly type: Rejection;
  /** As the answer gives it: the type, and for `malformed` what is wrong. */
  readonly reason: string;
  /** What was refused, if it is a sound record. */
  readonly sound?: SoundRecord;
}

const LONGEST_REASON = 200;

/** A schema's first complaint with the place it is about, short enough to show whatever was sent. */
export function firstIssue(issues: readonly v.BaseIssue<unknown>[]): string {
  const [issue] = issues;
  if (!issue) return 'not as expected';
  const text = plainIssue(issue);
  return text.length > LONGEST_REASON ? `${text.slice(0, LONGEST_REASON - 1)}…` : text;
}

/** What can be said of a record without the store: whether it is one, is of this race and may come from this bringer. */
export function judgeRecord(value: unknown, raceId: string, bringer: Bringer): Outcome<SoundRecord, Refusal> {
  const sound = plainSightingLine(value) ?? bySchema(value);
  if ('reason' in sound) return failed(sound);
  const { record } = sound;
  if (record.race !== raceId) return refused('wrong race');
  if (bringer.role === 'observer' && record.device !== bringer.device) return refused('wrong device', sound);
  if (record.kind === 'ruling' && bringer.role !== 'organiser') return refused('wrong role', sound);
  return succeeded(sound);
}

function bySchema(value: unknown): SoundRecord | Refusal {
  const parsed = v.safeParse(recordSchema, value, { abortEarly: true });
  if (!parsed.success) return { type: 'malformed', reason: `malformed: ${firstIssue(parsed.issues)}` };
  return { record: parsed.output, line: recordLine(parsed.output) };
}

export function refused(type: Rejection, sound?: SoundRecord) {
  return failed<Refusal>({ type, reason: type, ...(sound ? { sound } : {}) });
}
