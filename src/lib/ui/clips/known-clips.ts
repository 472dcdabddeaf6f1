import type { Race } from '$lib/race/race.ts';
import type { Clip } from '$lib/records/record.ts';
import type { RaceView } from '$lib/sightings/race-view.ts';

/** A clip that somebody reviewed: its file is not kept, so that a person has to choose it again. */
export interface KnownClip {
  readonly record: Clip;
  readonly checkpoint: string;
  /** Runners that this observer began, and marks made. */
  readonly runners: number;
  readonly marks: number;
}

/** The clips of a race with what one observer marked in them, the latest first. */
export function knownClips({ race, projection }: RaceView, observer: string): KnownClip[] {
  return projection.clips
    .filter(({ stands }) => stands)
    .map(({ record }) => {
      const marks = projection.marks.filter(
        ({ record: mark, withdrawn }) => !withdrawn && mark.clip === record.clip && mark.observer === observer,
      );
      return {
        record,
        checkpoint: nameOf(race, record.checkpoint),
        runners: new Set(marks.map(({ record: mark }) => mark.passage)).size,
        marks: marks.length,
      };
    })
    .toReversed();
}

const nameOf = ({ checkpoints }: Race, id: string) => checkpoints.find((one) => one.id === id)?.name ?? id;
