import { raceChannel } from '../race-channel.ts';

/** What happened to the records of a race on this device. */
export type RecordChange = 'added' | 'pulled' | 'handedIn' | 'savedToFile' | 'erased';

export interface RecordNews {
  readonly change: RecordChange;
  /** Whether this very page did it, not another tab. */
  readonly here: boolean;
}

const channel = raceChannel<{ readonly change: RecordChange; readonly from: number }>('kerbside-records');
/** Tells this page's messages from those of other tabs. */
let page: number | undefined;

function thisPage(): number {
  page ??= crypto.getRandomValues(new Uint32Array(1))[0]!;
  return page;
}

/** Says to every listener of every tab that the records of a race have changed on this device. */
export function tellOfRecords(race: string, change: RecordChange): void {
  channel.tell(race, { change, from: thisPage() });
}

/**
 * Calls `listener` soon after records of the race were added, pulled or handed in, in this tab or another.
 *
 * @returns the way to stop
 */
export function hearOfRecords(raceId: string, listener: (news: RecordNews) => void): () => void {
  return channel.hear(raceId, ({ change, from }) => listener({ change, here: from === thisPage() }));
}
