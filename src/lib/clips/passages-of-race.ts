import type { ProjectedMark, ProjectedClip } from '../records/project-marks.ts';
import { POINT_NAMES, type PointName } from '../records/mark-words.ts';
import type { Clip, Sighting } from '../records/record.ts';
import { entriesOf, type RaceView } from '../sightings/race-view.ts';
import type { StandingEntry } from '../sightings/standing-entries.ts';
import { levelDegrees } from './angles.ts';
import { recordedGap, recordedSeconds } from './frame-times.ts';
import type { Passage, PassageMark, PassageTable, PicturePoint } from './passage.ts';
import { otherFoot } from './read-passage.ts';

/** A passage with the records behind it. */
export interface RacePassage {
  readonly passage: Passage;
  readonly clip: Clip;
  /** Km of its checkpoint. */
  readonly km: number;
  /** The marks that stand within the clip, by id. */
  readonly marks: ReadonlyMap<string, ProjectedMark>;
}

export interface RacePassages {
  readonly table: PassageTable;
  readonly passages: readonly RacePassage[];
}

/** The tilt of the picture as tables write it, so that records and tables give the same angle. */
export function writtenLevel({ level }: Pick<Clip, 'level'>): number {
  return level ? Number(levelDegrees(level).toFixed(6)) : 0;
}

/**
 * All passages of a race as their marks, clips and sightings now stand. Recorded time is made here, from the file's own time
 * and the rate that stands for the clip. Marks of a clip of which no record stands have no rate and are left out.
 */
export function passagesOfRace(view: RaceView): RacePassages {
  const places = new Map(view.race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  const clips = standingClips(view.projection.clips);
  const sightings = new Map<string, StandingEntry>();
  for (const entry of entriesOf(view)) {
    const { record, method } = entry;
    if (method === 'clip' && record.kind === 'sighting' && record.passage) sightings.set(record.passage, entry);
  }
  const outside = new Map<string, number>();
  const passages: RacePassage[] = [];
  for (const [id, marks] of marksByPassage(view.projection.marks)) {
    const entry = sightings.get(id);
    const first = marks[0]!;
    const clip = clipOf(first, entry, clips.get(first.record.clip) ?? []);
    const place = clip && places.get(entry?.checkpoint ?? clip.checkpoint);
    if (!clip || !place) continue;
    const own = marks.filter(({ record }) => record.clip === clip.clip);
    const inside = own.filter(({ frame }) => frame < clip.frames);
    if (inside.length < own.length) {
      outside.set(place.name, (outside.get(place.name) ?? 0) + own.length - inside.length);
    }
    if (inside.length === 0) continue;
    passages.push({
      passage: passageOf(id, place.name, clip, entry, inside),
      clip,
      km: place.km,
      marks: new Map(inside.map((mark) => [mark.record.id, mark])),
    });
  }
  const kmOf = new Map(passages.map(({ passage, km }) => [passage.checkpoint, km]));
  const table: PassageTable = {
    checkpoints: [...kmOf].map(([name, km]) => ({ name, km })),
    passages: passages.map(({ passage }) => passage),
    metAgain: new Map(),
    outside,
  };
  return { table, passages };
}

function standingClips(clips: readonly ProjectedClip[]): Map<string, Clip[]> {
  const byFile = new Map<string, Clip[]>();
  for (const { record, stands } of clips) {
    if (!stands) continue;
    const own = byFile.get(record.clip);
    if (own) own.push(record);
    else byFile.set(record.clip, [record]);
  }
  return byFile;
}

function marksByPassage(marks: readonly ProjectedMark[]): Map<string, ProjectedMark[]> {
  const byPassage = new Map<string, ProjectedMark[]>();
  for (const mark of marks) {
    if (mark.withdrawn) continue;
    const own = byPassage.get(mark.record.passage);
    if (own) own.push(mark);
    else byPassage.set(mark.record.passage, [mark]);
  }
  return byPassage;
}

/** At the sighting's checkpoint; without a sighting the one that the reviewing device wrote, else the latest. */
function clipOf(mark: ProjectedMark, entry: StandingEntry | undefined, clips: readonly Clip[]): Clip | undefined {
  if (entry) return clips.find(({ checkpoint }) => checkpoint === entry.checkpoint);
  const own = clips.filter(({ device }) => device === mark.record.device);
  return (own.length > 0 ? own : clips).toSorted((a, b) => (a.madeAt < b.madeAt ? 1 : -1))[0];
}

function passageOf(
  id: string,
  checkpoint: string,
  clip: Clip,
  entry: StandingEntry | undefined,
  marks: readonly ProjectedMark[],
): Passage {
  const { direction, mirrored = false, fpsRecorded } = clip;
  return {
    ...{ id, clip: clip.clip, checkpoint, direction, fpsRecorded },
    observer: (entry?.record as Sighting | undefined)?.observer ?? marks[0]!.record.observer,
    sightingId: entry?.record.id ?? null,
    bib: entry?.bib ?? null,
    gait: entry?.gait ?? 'run',
    nearFoot: mirrored ? otherFoot(direction) : direction,
    levelDegrees: writtenLevel(clip),
    lensOffDegrees: clip.lensOff ?? 0,
    marks: marks.map((mark) => passageMark(mark, clip)),
  };
}

/** Recorded times are rounded to whole microseconds, as tables write them. */
function passageMark(mark: ProjectedMark, clip: Clip): PassageMark {
  const { record, foot, event, frame, atUs, gapUs } = mark;
  const gap = recordedGap(clip, gapUs);
  return {
    ...{ id: record.id, foot, event, frame },
    recordedUs: Math.round(recordedSeconds(clip, frame, atUs) * 1e6),
    gapSeconds: clip.timing === 'even' ? gap : Math.max(1, Math.round(gap * 1e6)) / 1e6,
    points: pointsOf(mark),
    doubtful: record.doubtful === true,
    madeAtMs: Date.parse(record.madeAt),
  };
}

function pointsOf({ points }: ProjectedMark): Partial<Record<PointName, PicturePoint>> {
  const tenths: Partial<Record<PointName, PicturePoint>> = {};
  for (const name of POINT_NAMES) {
    const point = points[name];
    if (point) tenths[name] = { x: Math.round(point[0] * 10), y: Math.round(point[1] * 10) };
  }
  return tenths;
}
