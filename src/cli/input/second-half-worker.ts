// The second thread of `readInHalves`: says that it has started, reads the rows of its half, then looks whether the record ids of both all differ.
import { closeSync, openSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { allDiffer } from '../../lib/sightings/record-ids.ts';
import { SightingsReader, type ReadPart } from '../../lib/tables/sightings/sightings-reader.ts';
import { readRange } from './read-range.ts';
import type { HalfToRead } from './read-in-halves.ts';

const port = parentPort!;
port.postMessage('started');

function readHalf({ path, headingsEnd, from, to }: HalfToRead): ReadPart | null {
  const reader = new SightingsReader(null, { idsAssumedNew: true });
  const take = (bytes: Uint8Array): boolean => {
    reader.push(bytes);
    return reader.faultless;
  };
  const file = openSync(path, 'r');
  try {
    return readRange(file, 0, headingsEnd, take) && readRange(file, from, to, take) ? reader.part() : null;
  } finally {
    closeSync(file);
  }
}

const part = readHalf(workerData as HalfToRead);
port.postMessage(part);
if (part) port.once('message', (words: Int32Array) => port.postMessage(allDiffer(words)));
