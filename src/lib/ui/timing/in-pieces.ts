import { nextTask } from './next-task.ts';

/** Some 700 records: a few milliseconds of the page, or some tens on a slow tablet. */
const PIECE_BYTES = 256 * 1024;

/** The bytes piece by piece, each in a task of its own, so that taps are answered in between. */
export async function* inPieces(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
    await nextTask();
    yield bytes.subarray(at, at + PIECE_BYTES);
  }
}
