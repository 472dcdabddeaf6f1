import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { ALL_FORMATS, BufferSource, EncodedPacketSink, Input } from 'mediabunny';
import { expect, test } from 'vitest';
import { readMovieHeader } from '../../src/lib/video/movie-header.ts';
import { readStamps } from '../../src/lib/video/read-stamps.ts';

const bytesOf = (name: string) =>
  new Uint8Array(readFileSync(fileURLToPath(new URL(`../reference/clips/${name}`, import.meta.url))));

async function opened(bytes: Uint8Array) {
  const input = new Input({ source: new BufferSource(bytes), formats: ALL_FORMATS });
  const track = (await input.getVideoTracks())[0]!;
  const movie = await readMovieHeader({
    size: bytes.length,
    read: (from, to) => Promise.resolve(bytes.slice(from, to)),
  });
  if (typeof movie === 'string') throw new Error(movie);
  return { sink: new EncodedPacketSink(track), times: movie.sampleTimes.get(track.id)! };
}

// The demultiplexer (mediabunny), picture by picture, is the source outside this code.
test.each([
  'single.mp4',
  'pack.mp4',
  'stretched.mp4',
  'made/variable.mp4',
  'made/rotated.mp4',
  'made/cut.mp4',
  'made/two-tracks.mp4',
])('the times of %s from its index are those that the demultiplexer gives picture by picture', async (name) => {
  const { sink, times } = await opened(bytesOf(name));
  const asked = await readStamps(sink, null);
  sink.packets = () => {
    throw new Error('asked picture by picture');
  };
  const stamps = await readStamps(sink, times);
  expect(stamps).toEqual(asked);
  expect(stamps).toHaveLength(times.ticks.length);
});

test('an index that does not agree with the first or the last frame is not taken', async () => {
  const { sink, times } = await opened(bytesOf('made/cut.mp4'));
  const right = await readStamps(sink, null);
  const longer = { ...times, ticks: times.ticks.map((tick, i) => tick + (i === times.ticks.length - 1 ? 999 : 0)) };
  expect(await readStamps(sink, longer)).toEqual(right);
  expect(await readStamps(sink, { ...times, timescale: times.timescale * 2 })).toEqual(right);
});
