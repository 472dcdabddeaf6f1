import type { Checkpoint, ObserverPost, Race } from '../../race/race.ts';
import { checkpointsByKm } from '../../race/station.ts';

/** Who tallies where on paper; a code of '' is written in by hand. */
export interface PaperPost {
  checkpoint: Checkpoint;
  code: string;
  side: ObserverPost['side'];
}

/** A sheet for each post, by place along the course; where no observer is set up, one for the checkpoint. */
export function paperPosts(race: Race): PaperPost[] {
  return checkpointsByKm(race.checkpoints).flatMap((checkpoint) => {
    const here = (race.observers ?? []).filter((post) => post.checkpoint === checkpoint.id);
    if (here.length === 0) return [{ checkpoint, code: '', side: undefined }];
    return here.map(({ code, side }) => ({ checkpoint, code, side }));
  });
}
