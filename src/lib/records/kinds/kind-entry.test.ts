import { expectTypeOf, it } from 'vitest';
import type { RecordKind } from '../kinds.ts';
import { KINDS } from '../kinds.ts';
import type { KindEntry } from './kind-entry.ts';

// Held by the compiler: what a kind leaves unsaid would be silent at the hub, where it decides who may write and who gets what.
type Without<Right extends keyof KindEntry> = Omit<KindEntry, Right>;

it('a kind without one of its rights is no kind', () => {
  expectTypeOf<Without<'leastRole'>>().not.toExtend<KindEntry>();
  expectTypeOf<Without<'targets'>>().not.toExtend<KindEntry>();
  expectTypeOf<Without<'toObservers'>>().not.toExtend<KindEntry>();
  expectTypeOf<Without<'subject'>>().not.toExtend<KindEntry>();
  expectTypeOf<Without<'tallied'>>().not.toExtend<KindEntry>();
  expectTypeOf(KINDS).toExtend<Readonly<Record<RecordKind, KindEntry>>>();
});
