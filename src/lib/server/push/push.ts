import type { SoundRecord } from '../../wire/record-list-text.ts';
import type { Bringer } from './judge-record.ts';
import type { ReadPush } from './read-push.ts';

/** One push to one race, read and with its bringer known. */
export interface Push {
  readonly raceNo: number;
  readonly raceId: string;
  readonly bringer: Bringer;
  readonly message: ReadPush;
  /** The hub's clock, milliseconds. */
  readonly now: number;
}

/** A record of a push on its way through the checks. */
export interface PushEntry {
  readonly sound: SoundRecord;
  /** How often the same push brings it again. */
  repeats: number;
  /** The device whose record this is in the end about; undefined while the hub cannot tell. */
  owner?: string;
}
