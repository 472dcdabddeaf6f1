const CHANNEL = 'kerbside-set-up';

let sender: BroadcastChannel | undefined;

/** Says to every listener of every tab that a race's set-up, start list or results are others now on this device. */
export function tellOfSetUp(raceId: string): void {
  sender ??= new BroadcastChannel(CHANNEL);
  sender.postMessage(raceId);
}

/**
 * Calls `listener` soon after the race's set-up or lists were changed on this device, by a person or because the hub has
 * others. Returns the way to stop.
 */
export function hearOfSetUp(raceId: string, listener: () => void): () => void {
  const receiver = new BroadcastChannel(CHANNEL);
  receiver.onmessage = (event: MessageEvent<unknown>) => {
    if (event.data === raceId) listener();
  };
  return () => receiver.close();
}
