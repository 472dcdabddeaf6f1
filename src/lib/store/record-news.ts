const CHANNEL = 'kerbside-records';

/** What happened to the records of a race on this device. */
export type RecordChange = 'added' | 'pulled' | 'handedIn' | 'savedToFile' | 'erased';

export interface RecordNews {
  readonly change: RecordChange;
  /** Whether this very page did it, not another tab. */
  readonly here: boolean;
}

interface Message {
  readonly race: string;
  readonly change: RecordChange;
  readonly from: number;
}

let sender: BroadcastChannel | undefined;
/** Tells this page's messages from those of other tabs. */
let page: number | undefined;

function thisPage(): number {
  page ??= crypto.getRandomValues(new Uint32Array(1))[0]!;
  return page;
}

/** Says to every listener of every tab that the records of a race have changed on this device. */
export function tellOfRecords(race: string, change: RecordChange): void {
  sender ??= new BroadcastChannel(CHANNEL);
  sender.postMessage({ race, change, from: thisPage() } satisfies Message);
}

/**
 * Calls `listener` soon after records of the race were added, pulled or handed in, in this tab or another.
 *
 * @returns the way to stop
 */
export function hearOfRecords(raceId: string, listener: (news: RecordNews) => void): () => void {
  const receiver = new BroadcastChannel(CHANNEL);
  receiver.onmessage = (event: MessageEvent<Message>) => {
    const { race, change, from } = event.data;
    if (race === raceId) listener({ change, here: from === thisPage() });
  };
  return () => receiver.close();
}
