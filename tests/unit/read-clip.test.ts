import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { frameRateOf, usualRate } from '../../src/lib/clips/frame-times.ts';
import { fingerprintOf } from '../../src/lib/video/fingerprint.ts';
import { clipFaultWords } from '../../src/lib/video/clip-fault.ts';
import { readClip } from '../../src/lib/video/read-clip.ts';
import { bareMovie } from '../helpers/clips/bare-movie.ts';

const bytesOf = (name: string) => readFileSync(new URL(`../reference/clips/${name}`, import.meta.url));
const fileOf = (bytes: Uint8Array) => ({
  size: bytes.length,
  read: (from: number, to: number) => Promise.resolve(new Uint8Array(bytes.subarray(from, to))),
});

const factsOf = (name: string) => factsOfBytes(bytesOf(name));

async function factsOfBytes(bytes: Uint8Array) {
  const read = await readClip(fileOf(bytes));
  if (!read.ok) return read.error;
  read.value.close();
  return read.value.facts;
}

describe('what is read of a clip', () => {
  // Frames, rates and sizes as make-clips.mjs and make-odd-clips.sh drew them; frames counted by ffmpeg as well.
  it.each([
    ['single.mp4', { frames: 2100, fpsStored: 240, timing: 'even', width: 960, height: 540, captureFps: null }],
    ['single.webm', { frames: 2100, fpsStored: 240, timing: 'even' }],
    ['stretched.mp4', { frames: 1140, fpsStored: 30, timing: 'even', captureFps: 240 }],
    ['stretched.webm', { frames: 1140, fpsStored: 30, captureFps: null }],
    ['made/variable.mp4', { frames: 240, fpsStored: 120, timing: 'listed' }],
    ['made/rotated.mp4', { frames: 120, width: 48, height: 64, rotation: 270 }],
    ['made/cut.mp4', { frames: 38 }],
    ['made/hevc.mp4', { frames: 12, codec: expect.stringMatching(/^h(vc|ev)1/) as string }],
    ['made/two-tracks.mp4', { frames: 120, codec: expect.stringMatching(/^avc1/) as string }],
    ['made/cut-off.mp4', { type: 'cut-off' }],
    ['made/cut-off.webm', { type: 'cut-off' }],
    ['made/two-pieces.mp4', { type: 'edited' }],
    ['made/sound-only.mp4', { type: 'no-picture' }],
    ['single.json', { type: 'not-video' }],
  ])('%s', async (name, facts) => {
    expect(await factsOf(name)).toMatchObject(facts);
  });

  it('takes of several tracks the first that can be shown, and of a single cut no other speed', async () => {
    const bytes = bytesOf('made/two-tracks.mp4');
    const canShow = async (track: { getCodecParameterString(): Promise<string | null> }) =>
      (await track.getCodecParameterString())?.startsWith('vp09') ?? false;
    const read = await readClip(fileOf(bytes), { canShow });
    expect(read).toMatchObject({
      ok: true,
      value: { facts: { frames: 60, codec: expect.stringMatching(/^vp09/) as string } },
    });
    if (read.ok) read.value.close();
    expect(await readClip(fileOf(bytes), { canShow: () => Promise.resolve(false) })).toMatchObject({
      error: { type: 'not-decodable' },
    });
    // ISO/IEC 14496-12, 8.6.6.2: the rate of the last entry is the last four bytes of the list.
    const twice = bytesOf('made/cut.mp4');
    const list = twice.indexOf('elst', 0, 'latin1') - 4;
    twice.writeInt16BE(2, list + twice.readUInt32BE(list) - 4);
    expect(await factsOfBytes(twice)).toMatchObject({ type: 'edited' });
  });

  it('says the limit of what is too large, without reading it', async () => {
    const file = { size: 8 * 2 ** 30 + 1, read: () => Promise.reject(new Error('read')) };
    expect(await readClip(file)).toMatchObject({ ok: false, error: { type: 'too-large' } });
  });

  it.each([
    [1_000_000, 64, 48, { frames: 1_000_000, fpsStored: 240, timing: 'even' }],
    [2, 8192, 8192, { width: 8192, height: 8192 }],
    [2, 16, 16, { width: 16, height: 16 }],
  ])('goes up to its limits: %d frames of %d × %d', async (frames, width, height, facts) => {
    expect(await factsOfBytes(bareMovie(frames, width, height))).toMatchObject(facts);
  });

  it.each([
    [1_000_001, 64, 48, 'too-many-frames', 'at most 1,000,000'],
    [1, 64, 48, 'too-few-frames', 'fewer than 2'],
    [2, 8193, 48, 'wrong-size', '8193 × 48 pixels; expected 16 to 8192'],
    [2, 64, 8193, 'wrong-size', '64 × 8193 pixels; expected 16 to 8192'],
    [2, 15, 48, 'wrong-size', '15 × 48 pixels; expected 16 to 8192'],
  ])('refuses %d frames of %d × %d with the limit', async (frames, width, height, type, words) => {
    const read = await readClip(fileOf(bareMovie(frames, width, height)));
    if (read.ok) throw new Error('taken');
    expect(read.error.type).toBe(type);
    expect(clipFaultWords(read.error)).toContain(words);
  });

  it('reads less than 1 MiB of a large file over its index and the fingerprint', async () => {
    const bytes = bytesOf('single.mp4');
    let read = 0;
    const file = fileOf(bytes);
    await readClip({ size: file.size, read: (from, to) => ((read += to - from), file.read(from, to)) });
    // The whole of this small file is its fingerprint's.
    expect(read - bytes.length).toBeLessThan(2 ** 20);
  });
});

describe('the fingerprint', () => {
  const wanted = (bytes: Uint8Array) => {
    const size = Buffer.alloc(8);
    size.writeBigUInt64BE(BigInt(bytes.length));
    const parts =
      bytes.length <= 2 ** 21 ? [bytes] : [bytes.subarray(0, 2 ** 20), bytes.subarray(bytes.length - 2 ** 20)];
    return createHash('sha256')
      .update(Buffer.concat([size, ...parts]))
      .digest('hex');
  };
  it.each([0, 5, 2 ** 20, 2 ** 21, 2 ** 21 + 1, 3_000_000])(
    'of %i bytes is SHA-256 of size, start and end',
    async (size) => {
      const bytes = Uint8Array.from({ length: size }, (_, i) => i * 7);
      expect(await fingerprintOf(fileOf(bytes))).toBe(wanted(bytes));
    },
  );
});

describe('the rate', () => {
  it('is the usual one within 0.1 %, else as measured', () => {
    expect([239.9, 240.2, 23.97, 119.9, 90, 29.97].map((fps) => Number(usualRate(fps).toFixed(3)))).toEqual([
      ...[240, 240],
      ...[23.976, 119.88, 90, 29.97],
    ]);
  });

  it('is even when time stamps are rounded to a millisecond, listed when one is missing', () => {
    const rounded = Array.from({ length: 300 }, (_, i) => Math.round((i * 1000) / 240) * 1000);
    expect(frameRateOf(rounded, 0.001)).toEqual({ timing: 'even', fpsStored: 240 });
    const gone = Array.from({ length: 300 }, (_, i) => Math.round((i * 1e6) / 240)).filter((_, i) => i !== 100);
    expect(frameRateOf(gone, 1e-6)).toEqual({ timing: 'listed', fpsStored: expect.closeTo(240, 2) as number });
  });
});
