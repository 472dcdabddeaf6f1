/** Word of one kind about a race, to every tab and worker of this device. */
export interface RaceChannel<Word> {
  readonly tell: (raceId: string, word: Word) => void;
  /** Calls `listener` soon after a word was given, here or elsewhere. Returns the way to stop. */
  readonly hear: (raceId: string, listener: (word: Word) => void) => () => void;
}

/** @param name the channel's name in the browser, the same in every tab */
export function raceChannel<Word = void>(name: string): RaceChannel<Word> {
  let sender: BroadcastChannel | undefined;
  return {
    tell(race, word) {
      sender ??= new BroadcastChannel(name);
      sender.postMessage({ race, word });
    },
    hear(raceId, listener) {
      const receiver = new BroadcastChannel(name);
      receiver.onmessage = ({ data: { race, word } }: MessageEvent<{ race: string; word: Word }>) => {
        if (race === raceId) listener(word);
      };
      return () => receiver.close();
    },
  };
}
