import type { Role } from '../records/roles.ts';
import type { StoreFailure } from '../store/store-failure.ts';
import type { SetUpConflict } from './exchange-set-up.ts';
import type { HubFailure } from './hub-client.ts';
import type { RefusedByHub } from './push-records.ts';

/** How the exchange of one race with the hub stands, for screens. */
export interface SyncState {
  /** `null` while this device is not linked to a hub for this race. */
  readonly role: Role | null;
  /** Whether it speaks with the hub at this moment. */
  readonly talking: boolean;
  /** Whether changes at the hub are told to this device as they come. */
  readonly listening: boolean;
  /** Why the last contact failed; `null` after a good one. */
  readonly problem: HubFailure | StoreFailure | null;
  /** Milliseconds since 1970 of the first failed contact since the last good one. */
  readonly problemSince: number | null;
  /** Milliseconds since 1970. */
  readonly lastContact: number | null;
  /** Hub clock minus this device's clock, milliseconds. */
  readonly offsetMs: number | null;
  /** Own records that the hub did not take. */
  readonly refused: readonly RefusedByHub[];
  /** Parts of the set-up that were changed on both sides. */
  readonly conflicts: readonly SetUpConflict[];
  /** What the hub said against a change of the set-up, such as a checkpoint that has records. */
  readonly setUpRefused: string | null;
  /** Records read from files that were sent on so far; `null` when none are being sent. */
  readonly bringing: number | null;
  /** Records pulled since the exchange started. */
  readonly pulled: number;
  /** Counts changes that screens may want to read anew: set-up, lists or records here. */
  readonly changes: number;
}

export const NOT_LINKED: SyncState = {
  role: null,
  talking: false,
  listening: false,
  problem: null,
  problemSince: null,
  lastContact: null,
  offsetMs: null,
  refused: [],
  conflicts: [],
  setUpRefused: null,
  bringing: null,
  pulled: 0,
  changes: 0,
};
