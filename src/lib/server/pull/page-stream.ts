import { Turns } from './turns.ts';

/** A page that is not taken any further for so long is given up, and its connection cut. */
const STALLED_MS = 20_000;
/** So is one that is taken drop by drop. */
const LONGEST_MS = 120_000;

/** For the pages of all readers together. */
const turns = new Turns();

/**
 * A page's pieces as the body of an answer: each is made when the connection has taken the one before.
 *
 * @param ended called once, when all is taken or the page is given up
 * @param cut cuts the connection
 */
export async function pageStream(
  pieces: AsyncGenerator<string, void>,
  ended: () => void,
  cut: () => void,
): Promise<ReadableStream<Uint8Array>> {
  const encoder = new TextEncoder();
  const inTurn = turns.line();
  const read = (): Promise<IteratorResult<string, void>> => inTurn(() => pieces.next());
  // Read before the answer begins: a store that fails is then answered as such.
  let next = read();
  try {
    await next;
  } catch (error) {
    ended();
    throw error;
  }
  const giveUp = (): void => {
    stop();
    cut();
  };
  let stalled = setTimeout(giveUp, STALLED_MS);
  const longest = setTimeout(giveUp, LONGEST_MS);
  const stop = (): void => {
    clearTimeout(stalled);
    clearTimeout(longest);
    ended();
    void pieces.return();
  };
  return new ReadableStream<Uint8Array>(
    {
      async pull(controller) {
        clearTimeout(stalled);
        let piece;
        try {
          piece = await next;
        } catch (error) {
          // The connection breaks off, so that its client knows the page for unfinished.
          stop();
          throw error;
        }
        if (piece.done) {
          controller.close();
          return stop();
        }
        // The next is read while the connection takes this one; what fails there is heard of when it is asked for.
        next = read();
        next.catch(() => undefined);
        controller.enqueue(encoder.encode(piece.value));
        stalled = setTimeout(giveUp, STALLED_MS);
      },
      cancel: stop,
    },
    { highWaterMark: 0 },
  );
}
