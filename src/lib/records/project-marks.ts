import type { Clip, Correction, Mark } from './record.ts';
import { POINT_NAMES, type MarkEvent, type PointName, type Side } from './mark-words.ts';

/** A point of the picture as records write it: display pixels, x right, y down. */
export type PixelPoint = readonly [x: number, y: number];

/** A mark as it now stands. */
export interface ProjectedMark {
  /** What the reviewer marked, unchanged. */
  readonly record: Mark;
  readonly foot: Side;
  readonly event: MarkEvent;
  readonly frame: number;
  readonly atUs: number;
  readonly gapUs: number;
  readonly points: Readonly<Partial<Record<PointName, PixelPoint>>>;
  readonly withdrawn: boolean;
}

/** What is known of a clip at one checkpoint, and whether it still counts. */
export interface ProjectedClip {
  readonly record: Clip;
  readonly withdrawn: boolean;
  /** The latest one that is not withdrawn of its file at its checkpoint. */
  readonly stands: boolean;
}

interface Made {
  readonly madeAt: string;
  readonly id: string;
}

// As `isLater` of the projection, which stands on this file.
const beats = (a: Made, b: Made | undefined) =>
  b === undefined || a.madeAt > b.madeAt || (a.madeAt === b.madeAt && a.id > b.id);

type Withdrawn = ReadonlyMap<string, unknown>;

export function projectClips(clips: readonly Clip[], withdrawn: Withdrawn): ProjectedClip[] {
  const latest = new Map<string, Clip>();
  for (const record of clips) {
    if (withdrawn.has(record.id)) continue;
    const key = `${record.clip} ${record.checkpoint}`;
    if (beats(record, latest.get(key))) latest.set(key, record);
  }
  const standing = new Set(latest.values());
  return clips.map((record) => ({ record, withdrawn: withdrawn.has(record.id), stands: standing.has(record) }));
}

/** The fields of a mark that corrections may change; frame, `atUs` and `gapUs` are one. */
const CORRECTED = ['foot', 'event', 'frame', ...POINT_NAMES] as const;
type Corrected = (typeof CORRECTED)[number];

/** Marks with the corrections in force: of several of one field the latest decides. */
export function projectMarks(
  marks: readonly Mark[],
  corrections: readonly Correction[],
  withdrawn: Withdrawn,
): ProjectedMark[] {
  const ids = new Set(marks.map(({ id }) => id));
  const deciding = new Map<string, Partial<Record<Corrected, Correction>>>();
  for (const correction of corrections) {
    if (!ids.has(correction.target) || withdrawn.has(correction.id)) continue;
    const fields = deciding.get(correction.target) ?? {};
    deciding.set(correction.target, fields);
    for (const field of CORRECTED) {
      if (correction[field] !== undefined && beats(correction, fields[field])) fields[field] = correction;
    }
  }
  return marks.map((record) => projectMark(record, deciding.get(record.id) ?? {}, withdrawn.has(record.id)));
}

function projectMark(
  record: Mark,
  deciding: Partial<Record<Corrected, Correction>>,
  isWithdrawn: boolean,
): ProjectedMark {
  const place = deciding.frame;
  const points: Partial<Record<PointName, PixelPoint>> = {};
  for (const name of POINT_NAMES) {
    const point = deciding[name]?.[name] ?? record[name];
    if (point) points[name] = point;
  }
  return {
    record,
    foot: deciding.foot?.foot ?? record.foot,
    event: deciding.event?.event ?? record.event,
    frame: place?.frame ?? record.frame,
    atUs: place?.atUs ?? record.atUs,
    gapUs: place?.gapUs ?? record.gapUs,
    points,
    withdrawn: isWithdrawn,
  };
}
