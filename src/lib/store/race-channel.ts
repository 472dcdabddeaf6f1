/** Word of one kind about a race, to every tab and worker of this device. */
export interface RaceChannel {
  readonly tell: (raceId: string) => void;
  /** Calls `listener` soon after the word was given, here or elsewhere. Returns the way to stop. */
  readonly hear: (raceId: string, listener: () => void) => () => void;
}

export function raceChannel(name: string): RaceChannel {
  let sender: BroadcastChannel | undefined;
  return {
    tell(raceId) {
      sender ??= new BroadcastChannel(name);
      sender.postMessage(raceId);
    },
    hear(raceId, listener) {
      const receiver = new BroadcastChannel(name);
      receiver.onmessage = (event: MessageEvent<unknown>) => {
        if (event.data === raceId) listener();
      };
      return () => receiver.close();
    },
  };
}
