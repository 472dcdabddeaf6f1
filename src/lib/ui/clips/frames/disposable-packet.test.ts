import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readClip } from '$lib/video/read-clip.ts';
import { disposableBy } from './disposable-packet.ts';

const bytes = readFileSync(new URL('../../../../../tests/reference/clips/single.mp4', import.meta.url));

describe('packets that no other frame is made from', () => {
  // Counted by ffmpeg's trace_headers on single.mp4: 910 slices of type 1 with nal_ref_idc 0, 1155 with 2, 35 of type 5.
  it('are as many as ffmpeg counts', async () => {
    const read = await readClip({
      size: bytes.length,
      read: (from, to) => Promise.resolve(new Uint8Array(bytes.subarray(from, to))),
    });
    if (!read.ok) throw new Error(read.error.type);
    const { track, sink } = read.value;
    const isDisposable = disposableBy((await track.getDecoderConfig())!)!;
    const counts = { disposable: 0, needed: 0 };
    for await (const { data } of sink.packets()) counts[isDisposable(data) ? 'disposable' : 'needed'] += 1;
    read.value.close();
    expect(counts).toEqual({ disposable: 910, needed: 1155 + 35 });
  });

  it('are not looked for in other codecs, or where lengths are not told', () => {
    expect(disposableBy({ codec: 'vp09.00.10.08' })).toBeNull();
    expect(disposableBy({ codec: 'avc1.64002a' })).toBeNull();
    expect(disposableBy({ codec: 'avc1.64002a', description: new Uint8Array(3) })).toBeNull();
  });

  it('are not those that are cut short, empty or without a slice', () => {
    const isDisposable = disposableBy({ codec: 'avc1.64002a', description: Uint8Array.of(1, 100, 0, 42, 0xff) })!;
    expect(isDisposable(Uint8Array.of(0, 0, 0, 2, 0x01, 0))).toBe(true);
    expect(isDisposable(Uint8Array.of(0, 0, 0, 2, 0x06, 0))).toBe(false);
    expect(isDisposable(Uint8Array.of(0, 0, 0, 2, 0x01, 0, 0, 0, 0, 2, 0x41, 0))).toBe(false);
    expect(isDisposable(Uint8Array.of(0, 0))).toBe(false);
    expect(isDisposable(new Uint8Array())).toBe(false);
  });
});
