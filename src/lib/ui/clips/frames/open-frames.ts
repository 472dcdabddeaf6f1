import { failed, succeeded, type Attempt } from '$lib/records/attempt.ts';
import type { ClipFault } from '$lib/video/clip-fault.ts';
import { fileOfBlob } from '$lib/video/clip-file.ts';
import { readClip, type ReadClip } from '$lib/video/read-clip.ts';
import { DecoderFrames } from './decoder-frames.ts';
import { ElementFrames } from './element-frames.ts';
import type { FrameSource } from './frame-source.ts';

export interface OpenedFrames {
  readonly clip: ReadClip;
  readonly frames: FrameSource;
}

export interface OpenOptions {
  readonly onProgress?: (share: number) => void;
  readonly signal?: AbortSignal;
  /** Whether to try the decoder; without, the picture element is used. */
  readonly decoder?: boolean;
}

/** Opens a file that a person chose: its index, and a way to show its frames. Nothing of it is copied or kept. */
export async function openFrames(blob: Blob, options: OpenOptions = {}): Promise<Attempt<OpenedFrames, ClipFault>> {
  const { decoder = true, ...reading } = options;
  const read = await readClip(fileOfBlob(blob), reading);
  if (!read.ok) return read;
  const clip = read.value;
  const frames = (decoder ? await DecoderFrames.open(clip) : null) ?? (await ElementFrames.open(clip, blob));
  if (frames) return succeeded({ clip, frames });
  const { codec, frames: count } = clip.facts;
  clip.close();
  return failed({ type: 'not-decodable', codec, frames: count, seconds: clip.times[count - 1]! / 1e6 });
}
