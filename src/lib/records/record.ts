import * as v from 'valibot';
import { KINDS, RECORD_KINDS, type RecordKind } from './kinds.ts';

/** What any record must be, whatever its kind. */
export const recordSchema = v.variant(
  'kind',
  RECORD_KINDS.map((kind) => KINDS[kind].schema),
);

/** Written once, never changed: what a person sees is computed from the set of them. */
export type TallyRecord = { [Kind in RecordKind]: v.InferOutput<(typeof KINDS)[Kind]['schema']> }[RecordKind];
export type RecordOf<Kind extends RecordKind> = Extract<TallyRecord, { readonly kind: Kind }>;
export type Sighting = RecordOf<'sighting'>;
export type Correction = RecordOf<'correction'>;
export type Withdrawal = RecordOf<'withdrawal'>;
export type Ruling = RecordOf<'ruling'>;
export type Acceptance = RecordOf<'acceptance'>;
export type Clip = RecordOf<'clip'>;
export type Mark = RecordOf<'mark'>;
export type PlanRecord = RecordOf<'plan'>;
export type Draw = RecordOf<'draw'>;
