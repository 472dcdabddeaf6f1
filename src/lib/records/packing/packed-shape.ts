import { FOOT_VALUES, type Foot } from '../foot.ts';
import type { RecordKind } from '../kinds.ts';
import type { TallyRecord } from '../record.ts';

/**
 * The kinds that the two lowest bits of a shape stand for. Part of the format, not of the kinds: a kind added to those
 * never gets here, and whoever unpacks need not load how every kind is checked. A file with other kinds travels as text.
 */
export const SHAPED_KINDS = ['sighting', 'correction', 'withdrawal', 'ruling'] as const satisfies readonly RecordKind[];
export type ShapedKind = (typeof SHAPED_KINDS)[number];

/** The kind that the two lowest bits of a shape stand for. */
export function kindOfShape(shape: number): ShapedKind {
  return SHAPED_KINDS[shape % SHAPED_KINDS.length]!;
}

/** Shaped kinds that point at another record. */
export const SHAPED_WITH_TARGET: readonly ShapedKind[] = ['correction', 'withdrawal'];

/** Bits of a record's shape above the two of its kind. */
export const SHAPE = { walk: 4, clip: 8, note: 16, checkpoint: 32, bib: 64, feet: 128 } as const;
/** Bits of a record's feet above the two for each foot. */
export const FEET = { passed: 16, timeEstimated: 32 } as const;

/** The columns in their order. */
export const PACKED_COLUMNS = [
  'shape',
  'feet',
  'source',
  'idTime',
  'number',
  'made',
  'seen',
  'checkpoint',
  'bib',
  'target',
  'rest',
] as const;
export type PackedColumn = (typeof PACKED_COLUMNS)[number];

/** Bibs `0` or of 1 to 9 digits without leading 0 go as numbers. */
export const NUMBER_BIB = /^(?:0|[1-9]\d{0,8})$/;
/** What stands for a bib in its column: null, a text in the column `rest`, or the number and this. */
export const BIB = { none: 0, text: 1, firstNumber: 2 } as const;
export const GREATEST_NUMBER_BIB = 999_999_999;

const EXTRA_TRUE = ['passed', 'timeEstimated'] as const;

/** A record as columns see it: which fields it has is said by its shape, not by its kind. */
export interface PackedFields {
  readonly target?: string | undefined;
  readonly checkpoint?: string | undefined;
  readonly bib?: string | null | undefined;
  readonly gait?: string | undefined;
  readonly left?: Foot | undefined;
  readonly right?: Foot | undefined;
  readonly method?: string | undefined;
  readonly observedAt?: string | undefined;
  readonly note?: string | undefined;
  readonly passed?: boolean | undefined;
  readonly timeEstimated?: boolean | undefined;
}

/** Fields that no column holds. */
const UNPACKED = ['clip', 'passage', 'foot', 'event', 'frame', 'heel', 'toe', 'knee', 'ankle', 'touch'];

/** The shape of a record, or `null` when no column holds its kind. */
export function shapeOf(record: TallyRecord): number | null {
  const kind = (SHAPED_KINDS as readonly string[]).indexOf(record.kind);
  if (kind === -1 || UNPACKED.some((field) => field in record)) return null;
  const fields: PackedFields = record;
  return (
    kind +
    (fields.gait === 'walk' ? SHAPE.walk : 0) +
    (fields.method === 'clip' ? SHAPE.clip : 0) +
    (fields.note !== undefined ? SHAPE.note : 0) +
    (fields.checkpoint !== undefined ? SHAPE.checkpoint : 0) +
    (fields.bib !== undefined ? SHAPE.bib : 0) +
    (fields.left !== undefined ? SHAPE.feet : 0)
  );
}

export function feetByte({ left, right, passed, timeEstimated }: PackedFields): number {
  const foot = (value: Foot | undefined) => Math.max(0, FOOT_VALUES.indexOf(value ?? 'unseen'));
  return foot(left) + 4 * foot(right) + (passed ? FEET.passed : 0) + (timeEstimated ? FEET.timeEstimated : 0);
}

export function feetOfByte(byte: number): PackedFields {
  const extra = Object.fromEntries(EXTRA_TRUE.filter((field) => byte & FEET[field]).map((field) => [field, true]));
  return { left: FOOT_VALUES[byte & 3]!, right: FOOT_VALUES[(byte >> 2) & 3]!, ...extra };
}
