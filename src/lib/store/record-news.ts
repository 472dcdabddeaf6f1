const CHANNEL = 'kerbside-records';

let sender: BroadcastChannel | undefined;

/** Says to every listener of every tab that the records of a race have changed on this device. */
export function tellOfRecords(raceId: string): void {
  sender ??= new BroadcastChannel(CHANNEL);
  sender.postMessage(raceId);
}

/** Calls `listener` soon after records of the race were added or handed in, in this tab or another. Returns the way to stop. */
export function hearOfRecords(raceId: string, listener: () => void): () => void {
  const receiver = new BroadcastChannel(CHANNEL);
  receiver.onmessage = (event: MessageEvent<unknown>) => {
    if (event.data === raceId) listener();
  };
  return () => receiver.close();
}
