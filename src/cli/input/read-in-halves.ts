import { closeSync, fstatSync, openSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { SightingsReader, type ReadPart, type ReadSightings } from '../../lib/tables/sightings/sightings-reader.ts';
import { readRange } from './read-range.ts';

/** A smaller file is read before a second thread has started. */
const LEAST_BYTES = 24e6;
/** A larger one is read as a stream, which needs less memory. */
const MOST_BYTES = 1e9;
/** The second thread begins a little later than this one. */
const SHARE_OF_FIRST = 0.52;
const LOOKED_AT_BYTES = 65_536;
const LINE_FEED = 0x0a;

/** What the second thread reads: the headings, and the rows of its half. */
export interface HalfToRead {
  readonly path: string;
  readonly headingsEnd: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Reads a large sightings file in two halves at once, one of them in a second thread. Only what is without fault, under
 * UUIDs that all differ, is read this way, and nothing is said: `null` sends the caller back to reading it as a stream,
 * which says what is wrong and where.
 *
 * @param onProgress told the share read, 0 to 1
 * @param least bytes of a file that is worth it
 */
export async function readInHalves(
  path: string,
  onProgress: (share: number) => void = () => {},
  least = LEAST_BYTES,
): Promise<ReadSightings | null> {
  const half = halfOf(path, least);
  if (!half) return null;
  const second = new Worker(new URL('./second-half-worker.ts', import.meta.url), { workerData: half });
  try {
    const messages = messagesOf(second);
    // Until it has started, this thread goes on with what else it has to load.
    await messages.next();
    const first = readFirst(half, onProgress);
    const part = (await messages.next()) as ReadPart | null;
    if (!first || !part || !first.append(part)) return null;
    const words = first.idWords();
    if (!words) return null;
    second.postMessage(words);
    const read = first.finish();
    return (await messages.next()) === true && read.ok ? read.value : null;
  } catch {
    // Whatever it was that the second thread met, the stream will meet it too.
    return null;
  } finally {
    // Not waited for: to end a thread takes as long as to read fifty thousand rows.
    void second.terminate();
  }
}

/** The messages of a thread, one after the other; throws what it ended with. */
function messagesOf(worker: Worker): { next(): Promise<unknown> } {
  const come: unknown[] = [];
  let wake = (): void => {};
  let fault: Error | null = null;
  worker.on('message', (message) => (come.push(message), wake()));
  worker.on('error', (error) => ((fault = error instanceof Error ? error : new Error(String(error))), wake()));
  return {
    async next() {
      while (come.length === 0) {
        if (fault) throw fault;
        await new Promise<void>((resolve) => (wake = resolve));
      }
      return come.shift();
    },
  };
}

/** Where a file is parted: behind a line feed. `null` for one that is not to be parted, or cannot be read. */
function halfOf(path: string, least: number): HalfToRead | null {
  let file: number;
  try {
    file = openSync(path, 'r');
  } catch {
    return null;
  }
  try {
    const stat = fstatSync(file);
    if (!stat.isFile() || stat.size < least || stat.size > MOST_BYTES) return null;
    const headingsEnd = behindLineFeed(file, 0);
    const from = behindLineFeed(file, Math.floor(stat.size * SHARE_OF_FIRST));
    return headingsEnd === null || from === null ? null : { path, headingsEnd, from, to: stat.size };
  } catch {
    return null;
  } finally {
    closeSync(file);
  }
}

function behindLineFeed(file: number, at: number): number | null {
  let found = -1;
  readRange(file, at, at + LOOKED_AT_BYTES, (bytes) => {
    found = bytes.indexOf(LINE_FEED);
    return false;
  });
  return found < 0 ? null : at + found + 1;
}

function readFirst({ path, from }: HalfToRead, onProgress: (share: number) => void): SightingsReader | null {
  const reader = new SightingsReader(null, { idsAssumedNew: true });
  let done = 0;
  const file = openSync(path, 'r');
  try {
    const all = readRange(file, 0, from, (bytes) => {
      reader.push(bytes);
      onProgress((done += bytes.length) / from);
      return reader.faultless;
    });
    return all ? reader : null;
  } finally {
    closeSync(file);
  }
}
