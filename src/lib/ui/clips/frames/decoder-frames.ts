import type { EncodedPacket } from 'mediabunny';
import type { ReadClip } from '$lib/video/read-clip.ts';
import { disposableBy } from './disposable-packet.ts';
import type { FrameSource, ShownFrame } from './frame-source.ts';
import { FrameStore } from './frame-store.ts';
import { ReadyPictures } from './ready-pictures.ts';

/** Bound of all decoded frames together, above what the decoder itself holds. */
export const MOST_STORE_BYTES = 128 * 2 ** 20;
/** More do not help: a step back refills from the key frame before. */
const MOST_STORE_FRAMES = 33;
/** Packets handed to the decoder that it has not taken yet. */
const MOST_QUEUED = 8;
/** Frames decoded while nobody asks. Backwards that takes a whole way from a key frame, so it begins sooner. */
const AHEAD = 8;
const AHEAD_BACK = 12;
/** A decoder that was fed so many frames past the wanted one will not hand it out any more. */
const LATE = 64;
/** Our microseconds are coarser than the file's own fractions. */
const ROUNDING_SECONDS = 1e-6;

/** A decoded frame takes 12 bits a pixel. */
const BYTES_A_PIXEL = 1.5;

/** Frames by a video decoder. It is kept from jump to jump and fed packets; their time stamps say which frame comes out. */
export class DecoderFrames implements FrameSource {
  readonly kind = 'decoder';
  readonly #clip: ReadClip;
  readonly #store: FrameStore<VideoFrame>;
  readonly #ready: ReadyPictures;
  readonly #config: VideoDecoderConfig;
  readonly #isDisposable: ((packet: Uint8Array) => boolean) | null;
  /** Frame by its time stamp in the file, microseconds. */
  readonly #frameAt = new Map<number, number>();
  /** Frame by the time stamp that the decoder was told, which is cut where ours is rounded. */
  readonly #frameOfChunk = new Map<number, number>();
  #decoder: VideoDecoder;
  /** The packet fed last; the next one follows it. */
  #fed: EncodedPacket | null = null;
  #fedAll = false;
  /** Since the decoder was last sent to a key frame: that frame, the greatest one fed, passed over, and come out. */
  #runStart = -1;
  #runMost = -1;
  #passedOver = -1;
  #out = -1;
  #shown = 0;
  #turn = 0;
  #busy: Promise<void> = Promise.resolve();
  #wake: () => void = () => {};
  #failure: Error | null = null;
  #closed = false;

  private constructor(clip: ReadClip, config: VideoDecoderConfig) {
    this.#clip = clip;
    this.#config = config;
    this.#isDisposable = disposableBy(config);
    const pixels = clip.facts.width * clip.facts.height;
    this.#ready = new ReadyPictures(pixels);
    const left = MOST_STORE_BYTES - this.#ready.mostBytes;
    this.#store = new FrameStore(pixels * BYTES_A_PIXEL, left, MOST_STORE_FRAMES);
    clip.times.forEach((time, frame) => this.#frameAt.set(Math.round(time + clip.firstUs), frame));
    this.#decoder = this.#makeDecoder();
  }

  /** `null` where this browser has no decoder for the clip. */
  static async open(clip: ReadClip): Promise<DecoderFrames | null> {
    const config = await decoderConfig(clip);
    return config && new DecoderFrames(clip, config);
  }

  get heldBytes(): number {
    return this.#store.bytes + this.#ready.bytes;
  }

  get squeezed(): boolean {
    return this.#store.squeezed;
  }

  async show(frame: number): Promise<ShownFrame | null> {
    const turn = (this.#turn += 1);
    this.#lean(frame, frame < this.#shown ? -1 : 1);
    if (!this.#store.has(frame)) await this.#inTurn(() => this.#load(frame, () => turn !== this.#turn));
    if (turn !== this.#turn || this.#closed) return null;
    const picture = this.#ready.get(frame) ?? this.#store.get(frame);
    if (!picture) throw this.#failure ?? new Error(`frame ${frame} did not come out of the decoder`);
    return { frame, picture, turn: this.#clip.facts.rotation, exact: true };
  }

  readAhead(frame: number, direction: 1 | -1): void {
    const turn = this.#turn;
    const stale = () => turn !== this.#turn || this.#closed;
    this.#lean(frame, direction);
    const ahead = Math.min(direction > 0 ? AHEAD : AHEAD_BACK, this.#store.capacity >> 1);
    void this.#makeReady(frame, direction, stale);
    void this.#inTurn(async () => {
      for (let step = 1; step <= ahead && !stale(); step += 1) {
        const wanted = frame + direction * step;
        if (wanted < 0 || wanted >= this.#clip.facts.frames) return;
        if (!this.#store.has(wanted)) await this.#load(wanted, stale);
        if (step <= 2) await this.#makeReady(frame, direction, stale);
      }
    }).catch(() => {
      // Whoever asks for that frame is told.
    });
  }

  /** The frames beside the present one, as far as they are decoded. It does not wait for the decoder. */
  async #makeReady(frame: number, direction: 1 | -1, stale: () => boolean): Promise<void> {
    if (stale()) return;
    for (const near of this.#ready.lookFrom(frame, direction)) {
      const decoded = this.#store.get(near);
      if (decoded && !stale()) await this.#ready.make(near, decoded);
    }
  }

  /** Keeps more of the frames that lie where somebody is going. */
  #lean(frame: number, direction: 1 | -1): void {
    this.#shown = frame;
    this.#store.centre(frame + direction * (this.#store.capacity >> 2));
  }

  close(): void {
    this.#closed = true;
    this.#turn += 1;
    if (this.#decoder.state !== 'closed') this.#decoder.close();
    this.#store.clear();
    this.#ready.close();
    this.#wake();
  }

  /** One at a time: they share the decoder. */
  #inTurn(work: () => Promise<void>): Promise<void> {
    const done = this.#busy.then(() => (this.#closed ? undefined : work()));
    this.#busy = done.catch(() => {});
    return done;
  }

  #makeDecoder(): VideoDecoder {
    const decoder = new VideoDecoder({
      output: (picture) => this.#take(picture),
      error: (error) => this.#fail(error),
    });
    decoder.configure(this.#config);
    return decoder;
  }

  #take(picture: VideoFrame): void {
    const frame = this.#frameOfChunk.get(picture.timestamp);
    if (frame === undefined || this.#closed) picture.close();
    else if (this.#config.hardwareAcceleration === 'prefer-software') this.#keep(frame, picture);
    else {
      copyOf(picture)
        .then((copy) => (this.#closed ? copy.close() : this.#keep(frame, copy)))
        .catch((error: unknown) => this.#fail(error));
    }
    this.#wake();
  }

  #keep(frame: number, picture: VideoFrame): void {
    // What a run before had under way does not count for this one.
    if (frame >= this.#runStart && frame <= this.#runMost) this.#out = Math.max(this.#out, frame);
    this.#store.put(frame, picture);
    this.#wake();
  }

  #fail(error: unknown): void {
    this.#failure = error instanceof Error ? error : new Error(String(error));
    this.#wake();
  }

  /** Feeds packets until the frame is in the store. */
  async #load(frame: number, stale: () => boolean): Promise<void> {
    if (this.#store.has(frame)) return;
    if (this.#failure) this.#restart();
    const onTheWay = this.#fed !== null && frame > Math.max(this.#out, this.#passedOver) && frame >= this.#runStart;
    const key = await this.#keyBefore(frame);
    let begun = !onTheWay || this.#frameOf(key) > this.#runMost;
    if (begun) this.#feedFirst(key);
    while (!this.#store.has(frame) && !stale() && !this.#failure) {
      if (this.#runMost > frame + LATE) {
        if (begun) throw new Error(`frame ${frame} did not come out of the decoder`);
        begun = true;
        this.#feedFirst(key);
      } else if (this.#decoder.decodeQueueSize >= MOST_QUEUED) await this.#change();
      else if (!this.#fedAll) await this.#feedNext(frame);
      else if (!(await this.#drain(frame))) return;
    }
    if (this.#failure && !stale()) await this.#giveUpMemory(frame, stale);
  }

  async #keyBefore(frame: number): Promise<EncodedPacket> {
    const { sink, times, firstUs } = this.#clip;
    const seconds = (times[frame]! + firstUs) / 1e6;
    const key = await sink.getKeyPacket(seconds + ROUNDING_SECONDS, { verifyKeyPackets: true });
    const packet = key ?? (await sink.getFirstPacket());
    if (!packet) throw new Error('the file has no frame to begin with');
    return packet;
  }

  #frameOf(packet: EncodedPacket): number {
    return this.#frameAt.get(Math.round(packet.timestamp * 1e6)) ?? -1;
  }

  #feedFirst(key: EncodedPacket): void {
    this.#fedAll = false;
    this.#runStart = Math.max(0, this.#frameOf(key));
    this.#runMost = this.#runStart;
    this.#out = this.#runStart - 1;
    this.#passedOver = -1;
    this.#feed(key);
  }

  #feed(packet: EncodedPacket): void {
    this.#fed = packet;
    const frame = this.#frameOf(packet);
    if (frame >= 0) this.#frameOfChunk.set(packet.microsecondTimestamp, frame);
    this.#runMost = Math.max(this.#runMost, frame);
    if (this.#decoder.state === 'configured') this.#decoder.decode(packet.toEncodedVideoChunk());
    else this.#failure ??= new Error('the decoder has stopped');
  }

  async #feedNext(wanted: number): Promise<void> {
    const next = await this.#clip.sink.getNextPacket(this.#fed!);
    if (!next) {
      this.#fedAll = true;
      return;
    }
    if (this.#closed) return;
    const frame = this.#frameOf(next);
    // Too far before the wanted frame to be kept, and no other is made from it.
    if (frame < wanted - this.#store.capacity && this.#isDisposable?.(next.data)) {
      this.#fed = next;
      this.#passedOver = Math.max(this.#passedOver, frame);
      return;
    }
    this.#feed(next);
    // Past the wanted frame the decoder may be about to hand it out: do not read on in vain.
    if (frame > wanted && this.#decoder.decodeQueueSize > 0) await this.#change();
  }

  /** Gets the last frames out; whether anything may still come. */
  async #drain(frame: number): Promise<boolean> {
    await this.#flush();
    if (this.#store.has(frame)) return true;
    throw this.#failure ?? new Error(`frame ${frame} did not come out of the decoder`);
  }

  async #flush(): Promise<void> {
    await this.#decoder.flush();
    // After a flush only a key frame may follow.
    this.#fed = null;
    this.#fedAll = false;
    this.#runStart = -1;
  }

  #change(): Promise<void> {
    return new Promise((resolve) => {
      const done = () => {
        this.#decoder.removeEventListener('dequeue', done);
        resolve();
      };
      this.#wake = done;
      this.#decoder.addEventListener('dequeue', done, { once: true });
    });
  }

  #restart(): void {
    this.#failure = null;
    if (this.#decoder.state !== 'closed') this.#decoder.close();
    this.#decoder = this.#makeDecoder();
    this.#fed = null;
    this.#fedAll = false;
    this.#runStart = -1;
  }

  /** A decoder that fails may have been refused memory: try again with fewer frames. */
  async #giveUpMemory(frame: number, stale: () => boolean): Promise<void> {
    const failure = this.#failure!;
    this.#ready.giveUp();
    if (!this.#store.squeeze()) throw failure;
    this.#restart();
    await this.#load(frame, stale);
  }
}

/** The planes of a frame in memory of its own, so that the decoder gets its frame back. */
async function copyOf(picture: VideoFrame): Promise<VideoFrame> {
  const { format, timestamp, displayWidth, displayHeight, visibleRect } = picture;
  if (format === null || visibleRect === null) return picture;
  const visible = { width: visibleRect.width, height: visibleRect.height };
  const planes = new Uint8Array(picture.allocationSize());
  const layout = await picture.copyTo(planes);
  const colorSpace = picture.colorSpace.toJSON();
  picture.close();
  return new VideoFrame(planes, {
    ...{ format, timestamp, displayWidth, displayHeight, layout, colorSpace },
    // What is copied is the visible part alone.
    codedWidth: visible.width,
    codedHeight: visible.height,
  });
}

/** Software decoding holds its frames in plain memory, as many as one likes; hardware may have few of its own. */
async function decoderConfig({ track }: ReadClip): Promise<VideoDecoderConfig | null> {
  if (!('VideoDecoder' in globalThis)) return null;
  const config = await track.getDecoderConfig();
  if (!config) return null;
  for (const hardwareAcceleration of ['prefer-software', 'no-preference'] as const) {
    const asked: VideoDecoderConfig = { ...config, hardwareAcceleration };
    const { supported } = await VideoDecoder.isConfigSupported(asked).catch(() => ({ supported: false }));
    if (supported) return asked;
  }
  return null;
}
