import type { BibList } from '../../race/bib-list.ts';
import type { Checkpoint, Race } from '../../race/race.ts';
import type { RandomBytes } from '../../records/new-id.ts';
import type { KeptRecord } from '../../store/records/add-record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import type { TallyPost } from '../../store/race/tally-settings.ts';
import type { KeptProgress } from './kept-progress.ts';

/** What the Tally screen needs from around it. */
export interface TallyNeeds {
  readonly db: KerbsideDatabase;
  readonly race: Race;
  readonly bibs: BibList;
  readonly post: TallyPost;
  /** The station's checkpoints, by km. */
  readonly checkpoints: readonly Checkpoint[];
  readonly clock: () => number;
  readonly randomBytes: RandomBytes;
  /** Keeps the entry over a reload; a rehearsal keeps none. */
  readonly keptProgress: KeptProgress | undefined;
  /** Called when a record is durable, the `count`-th since the screen opened: for the flash, the vibration and the click. */
  readonly onKept: (count: number, kept: KeptRecord) => void;
  /** The observer has moved to another of the station's places. */
  readonly onMoved: (checkpoint: string) => void;
  /** Calls back when what `onKept` changed has been painted. */
  readonly afterPaint: (show: () => void) => void;
}
