import type { EncodedPacketSink } from 'mediabunny';
import { CLIP_LIMITS } from './clip-fault.ts';
import type { SampleTimes } from './sample-times.ts';

export interface ReadingOptions {
  /** Told the share of the file's index that is read, 0 to 1. */
  readonly onProgress?: (share: number) => void;
  readonly signal?: AbortSignal;
}

/** Frames between two looks at whether to stop. */
const LOOK_EVERY = 2048;
const ONLY_TIMES = { metadataOnly: true } as const;

/**
 * Presentation times of all frames, whole microseconds, rising; `null` when stopped.
 *
 * @param times what the file's index says, if it does; they are taken if they agree with the first and the last frame as
 *   the demultiplexer reads them, which also knows about edits
 */
export async function readStamps(
  sink: EncodedPacketSink,
  times: SampleTimes | null,
  options: ReadingOptions = {},
): Promise<Float64Array | null> {
  const known = times && (await stampsOfIndex(sink, times));
  return known ?? stampsOfPackets(sink, options);
}

async function stampsOfIndex(sink: EncodedPacketSink, { ticks, timescale }: SampleTimes): Promise<Float64Array | null> {
  const [first, last] = [await sink.getFirstPacket(ONLY_TIMES), await sink.getPacket(Infinity, ONLY_TIMES)];
  if (!first || !last || ticks.length === 0) return null;
  const shift = Math.round(first.timestamp * timescale) - ticks[0]!;
  const stamps = ticks.map((tick) => Math.round(((tick + shift) / timescale) * 1e6));
  const asStored = stamps[0];
  stamps.sort();
  return asStored === microseconds(first) && stamps.at(-1) === microseconds(last) ? stamps : null;
}

function microseconds({ timestamp }: { readonly timestamp: number }): number {
  return Math.round(timestamp * 1e6);
}

async function stampsOfPackets(
  sink: EncodedPacketSink,
  { onProgress, signal }: ReadingOptions,
): Promise<Float64Array | null> {
  const stamps: number[] = [];
  const length = onProgress ? await sink.getPacket(Infinity, ONLY_TIMES) : null;
  for await (const packet of sink.packets(undefined, undefined, ONLY_TIMES)) {
    stamps.push(microseconds(packet));
    if (stamps.length % LOOK_EVERY !== 0) continue;
    if (signal?.aborted) return null;
    if (length && length.timestamp > 0) onProgress?.(Math.min(1, packet.timestamp / length.timestamp));
    if (stamps.length > CLIP_LIMITS.frames + LOOK_EVERY) break;
  }
  if (signal?.aborted) return null;
  return Float64Array.from(stamps).sort();
}
