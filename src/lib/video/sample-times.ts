import type { Boxes } from './boxes.ts';
import { CLIP_LIMITS } from './clip-fault.ts';

/** When the pictures of a track are shown, as its index says it. */
export interface SampleTimes {
  /** In the order in which they are stored, units of `timescale`, before any edit. */
  readonly ticks: Float64Array;
  /** Units a second. */
  readonly timescale: number;
}

interface Content {
  readonly from: number;
  readonly to: number;
}

/** A cut may leave few enough frames of a longer film. */
const MOST_SAMPLES = 16 * CLIP_LIMITS.frames;
const WAY = ['mdia', 'minf', 'stbl'];

/**
 * Reads the times of a track's pictures from its index at once: asking the demultiplexer picture by picture takes a hundred
 * times as long. `null` when the index does not hold them as it should, or far more than a clip may have.
 *
 * Source: ISO/IEC 14496-12, 8.6.1.2 (`stts`), 8.6.1.3 (`ctts`), 8.7.3.2 (`stsz`), 8.4.2 (`mdhd`).
 *
 * @param track the content of the track's box
 */
export function readSampleTimes(boxes: Boxes, track: Content): SampleTimes | null {
  const found = new Map<string, Content>();
  const walk = ({ from, to }: Content): void => {
    for (const box of boxes.between(from, to)) {
      found.set(box.name, box);
      if (WAY.includes(box.name)) walk(box);
    }
  };
  walk(track);
  const [header, durations, offsets, sizes] = ['mdhd', 'stts', 'ctts', 'stsz'].map((name) => found.get(name));
  if (!header || !durations || !sizes) return null;
  const timescale = boxes.u32(header.from + (boxes.isLong(header) ? 20 : 12));
  const samples = boxes.u32(sizes.from + 8);
  if (timescale === 0 || samples > MOST_SAMPLES) return null;
  const ticks = new Float64Array(samples);
  let at = 0;
  let tick = 0;
  for (const [count, duration] of runs(boxes, durations)) {
    if (at + count > samples) return null;
    for (let i = 0; i < count; i += 1, at += 1, tick += duration) ticks[at] = tick;
  }
  if (at !== samples) return null;
  return !offsets || addOffsets(ticks, runs(boxes, offsets)) ? { ticks, timescale } : null;
}

/** Whether they were as many as the pictures. */
function addOffsets(ticks: Float64Array, offsets: Iterable<readonly [count: number, offset: number]>): boolean {
  let at = 0;
  for (const [count, offset] of offsets) {
    if (at + count > ticks.length) return false;
    for (let i = 0; i < count; i += 1, at += 1) ticks[at]! += offset;
  }
  return at === ticks.length;
}

/** A table of runs: how many, and the value of each. Offsets may be negative, whatever the version says; nothing is as long. */
function* runs(boxes: Boxes, box: Content): Generator<readonly [count: number, value: number]> {
  const entries = Math.min(boxes.u32(box.from + 4), Math.floor((box.to - box.from - 8) / 8));
  for (let i = 0; i < entries; i += 1) {
    const at = box.from + 8 + i * 8;
    yield [boxes.u32(at), boxes.signed(at + 4, false)];
  }
}
