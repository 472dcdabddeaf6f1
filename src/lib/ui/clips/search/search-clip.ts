import type { EncodedPacket } from 'mediabunny';
import { nearestFrame } from '$lib/clips/expected-contact.ts';
import { PassageFinder, type FoundPassage } from '$lib/clips/find-passages.ts';
import { recordedSeconds, type RecordedClock } from '$lib/clips/frame-times.ts';
import type { ReadClip } from '$lib/video/read-clip.ts';
import { coarseGrey, lumaOf } from './coarse-grey.ts';

/** Recorded seconds between two pictures that are looked at, where every frame has to be decoded. */
const EVERY_SECONDS = 0.04;
/** Key frames no further apart than this are enough alone: somebody who passes is on two of them. */
const KEYS_ENOUGH_SECONDS = 0.15;
const MOST_QUEUED = 12;
/** Pictures between two reports. */
const REPORT_EVERY = 40;

type OnProgress = (share: number, found: readonly FoundPassage[]) => void;

/** Decodes a clip once from its start and finds where somebody passes. */
export async function searchClip(
  clip: ReadClip,
  clock: RecordedClock,
  onProgress: OnProgress,
): Promise<FoundPassage[]> {
  const config = await clip.track.getDecoderConfig();
  if (!config || !('VideoDecoder' in globalThis)) throw new Error('there is no decoder');
  const search = new ClipSearch(clip, clock, onProgress);
  return search.run({ ...config, optimizeForLatency: true });
}

class ClipSearch {
  readonly #clip: ReadClip;
  readonly #clock: RecordedClock;
  readonly #onProgress: OnProgress;
  readonly #finder = new PassageFinder();
  readonly #buffer: Uint8Array<ArrayBuffer>;
  /** Frames that came out and are looked at one after the other. */
  #looking: Promise<void> = Promise.resolve();
  #waiting = 0;
  #lookedAt = 0;
  #nextSeconds = 0;
  #failure: Error | null = null;

  constructor(clip: ReadClip, clock: RecordedClock, onProgress: OnProgress) {
    this.#clip = clip;
    this.#clock = clock;
    this.#onProgress = onProgress;
    this.#buffer = new Uint8Array(clip.facts.width * clip.facts.height * 2);
  }

  async run(config: VideoDecoderConfig): Promise<FoundPassage[]> {
    const decoder = new VideoDecoder({
      output: (frame) => this.#take(frame),
      error: (error) => (this.#failure = error),
    });
    decoder.configure(config);
    const keysAlone = await this.#keysAreEnough();
    const { sink } = this.#clip;
    let packet: EncodedPacket | null = await sink.getFirstKeyPacket({ verifyKeyPackets: true });
    while (packet && !this.#failure) {
      decoder.decode(packet.toEncodedVideoChunk());
      while ((decoder.decodeQueueSize > MOST_QUEUED || this.#waiting > MOST_QUEUED) && !this.#failure) {
        await (this.#waiting > 0 ? this.#looking : dequeued(decoder));
      }
      packet = keysAlone
        ? await sink.getNextKeyPacket(packet, { verifyKeyPackets: true })
        : await sink.getNextPacket(packet);
    }
    if (!this.#failure) await decoder.flush();
    await this.#looking;
    if (decoder.state !== 'closed') decoder.close();
    if (this.#failure) throw this.#failure;
    return this.#finder.found(true);
  }

  async #keysAreEnough(): Promise<boolean> {
    const { sink, facts } = this.#clip;
    const scale = this.#clock.fpsStored / this.#clock.fpsRecorded;
    let [keys, last] = [0, 0];
    let key = await sink.getFirstKeyPacket({ metadataOnly: true });
    // The first few say how the camera sets them; a clip without more is decoded whole.
    for (; key && keys < 20; keys += 1) {
      last = key.timestamp;
      key = await sink.getNextKeyPacket(key, { metadataOnly: true });
    }
    const gap = keys < 2 ? Infinity : (last - this.#clip.firstUs / 1e6) / (keys - 1);
    return facts.frames > keys && gap * scale <= KEYS_ENOUGH_SECONDS;
  }

  #take(picture: VideoFrame): void {
    const { times, firstUs } = this.#clip;
    const atUs = picture.timestamp - firstUs;
    const frame = nearestFrame(times, atUs);
    const seconds = recordedSeconds(this.#clock, frame, times[frame]!);
    // Frames that an edit list cuts off are none.
    const isCutOff = Math.abs(atUs - times[frame]!) > 2;
    if (isCutOff || seconds < this.#nextSeconds) {
      picture.close();
      return;
    }
    this.#nextSeconds = seconds + EVERY_SECONDS;
    this.#waiting += 1;
    this.#looking = this.#looking.then(() => this.#look(picture, frame, seconds));
  }

  async #look(picture: VideoFrame, frame: number, seconds: number): Promise<void> {
    try {
      const luma = await lumaOf(picture, this.#buffer);
      if (!luma) throw new Error(`pictures of the format ${picture.format ?? 'unknown'} cannot be read`);
      this.#finder.push({ frame, seconds, grey: coarseGrey(luma, this.#clip.facts.rotation) });
    } catch (error) {
      this.#failure ??= error instanceof Error ? error : new Error(String(error));
    } finally {
      picture.close();
      this.#waiting -= 1;
    }
    this.#lookedAt += 1;
    if (this.#lookedAt % REPORT_EVERY === 0) {
      this.#onProgress((frame + 1) / this.#clip.facts.frames, this.#finder.found());
    }
  }
}

const dequeued = (decoder: VideoDecoder): Promise<void> =>
  new Promise((resolve) => {
    decoder.addEventListener('dequeue', () => resolve(), { once: true });
    // A decoder that fails hands out nothing more.
    setTimeout(resolve, 200);
  });
