import {
  CustomSource,
  EncodedPacketSink,
  Input,
  Logging,
  LogLevel,
  MATROSKA,
  MP4,
  QTFF,
  WEBM,
  type InputVideoTrack,
} from 'mediabunny';
import { frameRateOf, type FrameRate } from '../clips/frame-times.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { CLIP_LIMITS, type ClipFault } from './clip-fault.ts';
import type { ClipFile } from './clip-file.ts';
import { fingerprintOf } from './fingerprint.ts';
import { isMatroska, matroskaIsCutOff } from './matroska-end.ts';
import { readStamps, type ReadingOptions } from './read-stamps.ts';
import { readMovieHeader, type Edit, type MovieHeader } from './movie-header.ts';

/** Facts about a video file: all that is ever kept of it, together with what a person says. */
export interface ClipFacts extends FrameRate {
  /** Fingerprint of the file. */
  readonly clip: string;
  readonly bytes: number;
  readonly frames: number;
  /** The rate that the file says the camera took; `null` when it says none. It is proposed, never taken silently. */
  readonly captureFps: number | null;
  /** Display pixels after rotation and pixel aspect. */
  readonly width: number;
  readonly height: number;
  readonly rotation: 0 | 90 | 180 | 270;
  /** The codec's parameter string. */
  readonly codec: string;
  /** When the file says that it was made, milliseconds since 1970. */
  readonly createdMs: number | null;
}

/** A clip whose index is read: its facts, and what a decoder needs to show any of its frames. */
export interface ReadClip {
  readonly facts: ClipFacts;
  /** File time of each frame since frame 0, whole microseconds, rising. */
  readonly times: Float64Array;
  /** The file's own time of frame 0, microseconds. */
  readonly firstUs: number;
  readonly track: InputVideoTrack;
  readonly sink: EncodedPacketSink;
  /** Lets go of the file. */
  close(): void;
}

export interface ReadClipOptions extends ReadingOptions {
  /** Whether this machine can show a track; all count as shown when left out. */
  readonly canShow?: (track: InputVideoTrack) => Promise<boolean>;
}

const LEAST_STORED_FPS = 1;
const MOST_STORED_FPS = 1000;

/**
 * Reads the index of a clip: fingerprint, frames and their times, size and codec. Of an MP4 or QuickTime file only the index
 * is read, whatever its length; a WebM has none and is read once. The pictures are not decoded.
 */
export async function readClip(file: ClipFile, options: ReadClipOptions = {}): Promise<Attempt<ReadClip, ClipFault>> {
  if (file.size > CLIP_LIMITS.bytes) return failed({ type: 'too-large', bytes: file.size });
  let close = (): void => {};
  try {
    const movie = await readMovieHeader(file);
    if (movie === 'cut-off') return failed({ type: 'cut-off' });
    if (movie === 'other') {
      if (!(await isMatroska(file))) return failed({ type: 'not-video' });
      if (await matroskaIsCutOff(file)) return failed({ type: 'cut-off' });
    }
    const input = openInput(file);
    close = () => input.dispose();
    const read = await readTracks(file, input, movie === 'other' ? null : movie, options);
    if (!read.ok) close();
    return read;
  } catch (error) {
    close();
    return failed({ type: 'unreadable', message: error instanceof Error ? error.message : String(error) });
  }
}

function openInput(file: ClipFile): Input {
  // What it warns of on the console is answered here as a fault.
  Logging.level = LogLevel.Errors;
  const source = new CustomSource({
    getSize: () => file.size,
    read: (from, to) => file.read(from, to),
    prefetchProfile: 'fileSystem',
  });
  return new Input({ source, formats: [MP4, QTFF, WEBM, MATROSKA] });
}

async function readTracks(
  file: ClipFile,
  input: Input,
  movie: MovieHeader | null,
  options: ReadClipOptions,
): Promise<Attempt<ReadClip, ClipFault>> {
  if (!(await input.canRead())) return failed({ type: 'not-video' });
  const tracks = await input.getVideoTracks();
  if (tracks.length === 0) return failed({ type: 'no-picture' });
  let track: InputVideoTrack | undefined;
  for (const one of tracks) if (!track && (await (options.canShow?.(one) ?? true))) track = one;
  const chosen = track ?? tracks[0]!;
  const edits = movie?.edits.get(chosen.id) ?? [];
  if (isEdited(edits)) return failed({ type: 'edited' });
  const sink = new EncodedPacketSink(chosen);
  const stamps = await readStamps(sink, movie?.sampleTimes.get(chosen.id) ?? null, options);
  if (stamps === null) return failed({ type: 'stopped' });
  const shown = withinEdit(stamps, edits, movie?.timescale ?? 1000);
  const fault = limitFault(shown);
  if (fault) return failed(fault);
  const firstUs = shown[0]!;
  const times = shown.map((stamp) => stamp - firstUs);
  const codec = (await chosen.getCodecParameterString()) ?? String(await chosen.getInternalCodecId());
  if (!track) {
    return failed({ type: 'not-decodable', codec, frames: times.length, seconds: times[times.length - 1]! / 1e6 });
  }
  const tick = 1 / (await chosen.getTimeResolution());
  const facts: ClipFacts = {
    clip: await fingerprintOf(file),
    bytes: file.size,
    frames: times.length,
    ...frameRateOf(times, tick),
    captureFps: await captureRate(input),
    width: await chosen.getDisplayWidth(),
    height: await chosen.getDisplayHeight(),
    rotation: await chosen.getRotation(),
    codec: codec.slice(0, 32),
    createdMs: movie?.createdMs ?? null,
  };
  const { width, height, fpsStored } = facts;
  if ([width, height].some((side) => side < CLIP_LIMITS.leastSide || side > CLIP_LIMITS.mostSide)) {
    return failed({ type: 'wrong-size', width, height });
  }
  if (fpsStored < LEAST_STORED_FPS || fpsStored > MOST_STORED_FPS)
    return failed({ type: 'wrong-rate', fps: fpsStored });
  return succeeded({ facts, times, firstUs, track: chosen, sink, close: () => input.dispose() });
}

/** More than one piece with pictures, or another speed. A single cut is followed. */
function isEdited(edits: readonly Edit[]): boolean {
  const pieces = edits.filter(({ mediaTime }) => mediaTime !== null);
  return pieces.length > 1 || pieces.some(({ rate }) => rate !== 1);
}

/** Frames that the edit list leaves: times count from the start of its one piece. */
function withinEdit(stamps: Float64Array, edits: readonly Edit[], timescale: number): Float64Array {
  const piece = edits.find(({ mediaTime }) => mediaTime !== null);
  if (!piece) return stamps;
  const before = edits.filter(({ mediaTime }) => mediaTime === null).reduce((sum, { seconds }) => sum + seconds, 0);
  const from = before * 1e6;
  // Its length is written in whole units of the movie's clock.
  const to = piece.seconds > 0 ? from + (piece.seconds - 0.5 / timescale) * 1e6 : Infinity;
  return stamps.filter((stamp) => stamp >= from - 1 && stamp < to);
}

function limitFault(shown: Float64Array): ClipFault | null {
  const frames = shown.length;
  if (frames < 2) return { type: 'too-few-frames', frames };
  return frames > CLIP_LIMITS.frames ? { type: 'too-many-frames', frames } : null;
}

/** The capture rate that some phones write as a tag. */
async function captureRate(input: Input): Promise<number | null> {
  const { raw = {} } = await input.getMetadataTags();
  const key = Object.keys(raw).find((name) => name.toLowerCase() === 'com.android.capture.fps');
  const value = key === undefined ? undefined : raw[key];
  const fps = typeof value === 'string' ? Number(value) : value instanceof Uint8Array ? floatOf(value) : Number(value);
  return Number.isFinite(fps) && fps >= 20 && fps <= 1000 ? fps : null;
}

function floatOf(bytes: Uint8Array): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length === 4) return view.getFloat32(0);
  return bytes.length === 8 ? view.getFloat64(0) : Number.NaN;
}
