import type { RacePassage } from '$lib/clips/passages-of-race.ts';
import { passageToDo, type PassageToDo } from '$lib/clips/passage-to-do.ts';
import type { Foot, Gait } from '$lib/records/foot.ts';
import type { MarkEvent, PointName, Side } from '$lib/records/mark-words.ts';
import type { PixelPoint, ProjectedMark } from '$lib/records/project-marks.ts';
import type { Mark } from '$lib/records/record.ts';
import type { RaceView } from '$lib/sightings/race-view.ts';

/** A mark as the screen shows it. */
export interface MarkView {
  readonly id: string;
  readonly foot: Side;
  readonly event: MarkEvent;
  readonly frame: number;
  readonly doubtful: boolean;
  readonly points: Readonly<Partial<Record<PointName, PixelPoint>>>;
  readonly record: Mark;
  readonly projected: ProjectedMark;
}

/** One passage as the screen lists it. */
export interface PassageView {
  readonly id: string;
  readonly bib: string | null;
  /** The sighting that it ended in. */
  readonly sightingId: string | null;
  readonly gait: Gait;
  readonly left: Foot | undefined;
  readonly right: Foot | undefined;
  readonly first: number;
  readonly last: number;
  /** By frame. */
  readonly marks: readonly MarkView[];
  readonly toDo: PassageToDo;
}

/** The passages of one clip, by their first frame; those that were closed without a mark too. */
export function passageViews(passages: readonly RacePassage[], { projection }: RaceView): PassageView[] {
  const sightings = new Map(projection.sightings.map((sighting) => [sighting.record.id, sighting]));
  const marked = passages.map(({ passage, marks: own }): PassageView => {
    const marks = [...own.values()].map(markView).toSorted((a, b) => a.frame - b.frame);
    const sighting = passage.sightingId === null ? undefined : sightings.get(passage.sightingId);
    return {
      ...{ id: passage.id, bib: passage.bib, sightingId: passage.sightingId, gait: passage.gait },
      ...{ left: sighting?.left, right: sighting?.right, marks },
      first: marks[0]!.frame,
      last: marks.at(-1)!.frame,
      toDo: passageToDo(
        marks.map(({ foot, event, frame, points }) => ({
          ...{ foot, event, frame },
          points: Object.keys(points) as PointName[],
        })),
      ),
    };
  });
  const known = new Set(marked.map(({ id }) => id));
  const unmarked = projection.sightings.flatMap(({ record, bib, gait, left, right, withdrawn }): PassageView[] => {
    const { id: sightingId, passage: id, frame } = record;
    if (withdrawn || id === undefined || frame === undefined || known.has(id)) return [];
    return [
      { ...{ id, bib, sightingId, gait, left, right, marks: [] }, first: frame, last: frame, toDo: passageToDo([]) },
    ];
  });
  return [...marked, ...unmarked].toSorted((a, b) => a.first - b.first);
}

function markView(projected: ProjectedMark): MarkView {
  const { record, foot, event, frame, points } = projected;
  return { id: record.id, foot, event, frame, doubtful: record.doubtful === true, points, record, projected };
}

/** What is still to do for a runner, in a few words; empty when nothing is. */
export function toDoWords({ sightingId, toDo }: PassageView): string {
  const { openContacts, steps, angled } = toDo;
  const words = [
    ...(sightingId === null ? ['not closed'] : []),
    ...(openContacts > 0 ? [`${openContacts} without toe-off`] : []),
    ...(steps > angled ? [`${steps - angled} of ${steps} steps without points`] : []),
  ];
  return words.join(', ');
}
