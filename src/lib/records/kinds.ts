import { acceptance } from './kinds/acceptance.ts';
import { clip } from './kinds/clip.ts';
import { correction } from './kinds/correction.ts';
import { draw } from './kinds/draw.ts';
import type { KindEntry } from './kinds/kind-entry.ts';
import { mark } from './kinds/mark.ts';
import { plan } from './kinds/plan.ts';
import { ruling } from './kinds/ruling.ts';
import { sighting } from './kinds/sighting.ts';
import { withdrawal } from './kinds/withdrawal.ts';

/** Every kind of record, each defined once, in `kinds/`. A kind is never taken away: what is stored must go on reading. */
export const KINDS = {
  sighting,
  correction,
  withdrawal,
  ruling,
  acceptance,
  clip,
  mark,
  plan,
  draw,
} as const satisfies Record<string, KindEntry>;
export type RecordKind = keyof typeof KINDS;

/** The same, read by the name that a record gives. */
export function kindEntry(kind: RecordKind): KindEntry {
  return KINDS[kind];
}

/** All kinds, in the order of their numbers. */
export const RECORD_KINDS = Object.keys(KINDS) as RecordKind[];

const BY_NUMBER = new Map<number, RecordKind>(RECORD_KINDS.map((kind) => [KINDS[kind].number, kind]));

/** The kind that a stored number stands for. */
export function kindOfNumber(number: number): RecordKind {
  const kind = BY_NUMBER.get(number);
  if (!kind) throw new Error(`no kind of record has the number ${number}`);
  return kind;
}
