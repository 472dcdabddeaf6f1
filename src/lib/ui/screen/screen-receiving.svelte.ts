import type { TallyRecord } from '../../records/record.ts';
import { FrameCollector, type CodeHeard } from '../../screen/frame-collector.ts';
import { receivingAdvice, secondsLeft, type ReceivingAdvice } from '../../screen/receiving-advice.ts';
import { countNewRecords } from '../../store/count-new-records.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { storeFailure, storeFailureText } from '../../store/store-failure.ts';
import type { HandoffIntake } from '../handoff/handoff-intake.svelte.ts';
import { cameraFailureText, openCamera } from './camera.ts';
import { CodeReader } from './code-reader.ts';
import { filmSteps, openFilm } from './film-pictures.ts';
import { HandoffReader } from './handoff-reader.ts';
import type { HandoffSummary } from './read-messages.ts';
import { VideoPictures } from './video-pictures.ts';

/** What came whole, for a person to take or leave. */
export interface ReceivedHandoff extends HandoffSummary {
  readonly records: readonly TallyRecord[];
  readonly newHere: number;
}

type Phase = 'idle' | 'asking' | 'filming' | 'film' | 'reading' | 'whole' | 'taking';

const DAMAGED = 'What came is damaged: the codes do not fit together. Nothing was taken. Begin again.';
const PULLED_OUT = 'The camera was taken away. Nothing was taken. Begin again.';
const IN_BACKGROUND = 'This page went out of view, and the camera was stopped. Nothing was taken. Begin again.';
const CODES = 'These codes';
/** How often advice and seconds are looked at anew. */
const LOOK_EVERY_MS = 250;

/** Receiving a hand-off from another tablet's screen. Nothing is stored before `take`. */
export class ScreenReceiving {
  readonly #intake: HandoffIntake;
  #phase = $state<Phase>('idle');
  #stream = $state.raw<MediaStream | null>(null);
  #parts = $state(0);
  #needed = $state(0);
  #filmed = $state(0);
  #secondsLeft = $state<number | null>(null);
  #advice = $state<ReceivingAdvice>(null);
  #otherInView = $state(false);
  #newer = $state(false);
  #received = $state.raw<ReceivedHandoff | null>(null);
  #collector = new FrameCollector();
  #seen: { startedAt: number; ownAt: number | null; otherAt: number | null; firstAt: number | null } = {
    ...{ startedAt: 0, ownAt: null, otherAt: null, firstAt: null },
  };
  #reader: CodeReader | null = null;
  #handoff: HandoffReader | null = null;
  #looking: ReturnType<typeof setInterval> | undefined;
  /** Counts what was begun: what belongs to an earlier turn stops when it sees that. */
  #turn = 0;
  readonly #db: KerbsideDatabase;
  readonly #expectedRace: string | undefined;

  /**
   * @param expectedRace the race on screen; without one, any race is received
   * @param intake what takes it, and says what came of that
   */
  constructor(db: KerbsideDatabase, expectedRace: string | undefined, intake: HandoffIntake) {
    this.#db = db;
    this.#expectedRace = expectedRace;
    this.#intake = intake;
  }

  get phase() {
    return this.#phase;
  }
  /** The camera's pictures, to be shown in a video element that is handed to `watch`. */
  get stream() {
    return this.#stream;
  }
  get parts() {
    return this.#parts;
  }
  /** Parts that are needed; 0 before the first code. */
  get needed() {
    return this.#needed;
  }
  /** The share of a film that was looked through, 0 to 1. */
  get filmed() {
    return this.#filmed;
  }
  get secondsLeft() {
    return this.#secondsLeft;
  }
  get advice() {
    return this.#advice;
  }
  get otherInView() {
    return this.#otherInView;
  }
  get newer() {
    return this.#newer;
  }
  get received() {
    return this.#received;
  }

  /** Asks for the camera; its pictures are then in `stream`. */
  async film(): Promise<void> {
    if (this.#phase !== 'idle') return;
    const turn = this.#begin('asking');
    // It starts while the person answers the browser.
    this.#reader = new CodeReader();
    const camera = await openCamera();
    if (turn !== this.#turn) {
      if (camera.ok) stopTracks(camera.value);
      return;
    }
    if (!camera.ok) {
      this.#end(cameraFailureText(camera.error));
      return;
    }
    this.#stream = camera.value;
    for (const track of camera.value.getVideoTracks()) track.onended = () => this.#end(PULLED_OUT);
    this.#phase = 'filming';
    this.#looking = setInterval(() => this.#look(), LOOK_EVERY_MS);
  }

  /** Reads the codes in what this element shows of `stream`, until all is there. */
  async watch(video: HTMLVideoElement): Promise<void> {
    const turn = this.#turn;
    await this.#work(turn, async (reader) => {
      const pictures = new VideoPictures(video);
      while (turn === this.#turn && this.#phase === 'filming') {
        await pictures.next();
        if (turn !== this.#turn || video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) continue;
        const text = await reader.read(video, 'square');
        if (turn === this.#turn && text !== null) await this.#hear(text);
      }
      pictures.stop();
    });
  }

  /** Reads the codes in a film. Parts that are still missing may come with another film of the same codes. */
  async readFilm(file: File): Promise<void> {
    if (this.#phase !== 'idle') return;
    const kept = this.#collector.payload === null ? this.#collector : new FrameCollector();
    const turn = this.#begin('film');
    this.#collector = kept;
    this.#count();
    await this.#work(turn, async (reader) => {
      const film = await openFilm(file);
      if (!film) return this.#end('This browser cannot play that film. Film with the device’s own camera app, as MP4.');
      try {
        for await (const share of filmSteps(film.video)) {
          if (turn !== this.#turn) return;
          this.#filmed = share;
          const text = await reader.read(film.video, 'anywhere');
          if (turn === this.#turn && text !== null) await this.#hear(text);
          if (this.#phase !== 'film') return;
        }
      } finally {
        film.close();
      }
      this.#endOfFilm();
    });
  }

  #endOfFilm(): void {
    const { parts, needed } = this.#collector;
    this.#stop();
    this.#phase = 'idle';
    this.#intake.refuse(
      needed === 0
        ? 'No code of a hand-off was found in that film. Come closer, hold the device still, and film again.'
        : `The film holds ${parts} of ${needed} parts. Film the same codes again: what is there counts.`,
    );
  }

  /** Stops, and forgets what came. */
  leave(): void {
    this.#end('');
  }

  /** The page is not in view any more. */
  hide(): void {
    if (this.#phase === 'filming' || this.#phase === 'asking') this.#end(IN_BACKGROUND);
  }

  /** Forgets the sequence that was begun, to take the one that is in view now. */
  beginAnew(): void {
    this.#collector = new FrameCollector();
    this.#seen = { startedAt: performance.now(), ownAt: null, otherAt: null, firstAt: null };
    this.#otherInView = false;
    this.#count();
    this.#look();
  }

  /** Stores what came: the only place that does. */
  async take(): Promise<void> {
    const received = this.#received;
    if (!received || this.#phase !== 'whole') return;
    this.#phase = 'taking';
    await this.#intake.keep(received);
    this.#received = null;
    this.#phase = 'idle';
  }

  #begin(phase: Phase): number {
    this.#end('');
    this.#intake.forget();
    this.#phase = phase;
    this.#newer = false;
    this.beginAnew();
    return this.#turn;
  }

  #end(problem: string): void {
    this.#stop();
    this.#collector = new FrameCollector();
    this.#received = null;
    this.#phase = 'idle';
    if (problem !== '') this.#intake.refuse(problem);
  }

  /** Stops camera and readers. */
  #stop(): void {
    this.#turn += 1;
    clearInterval(this.#looking);
    this.#reader?.stop();
    this.#reader = null;
    this.#handoff?.stop();
    this.#handoff = null;
    if (this.#stream) stopTracks(this.#stream);
    this.#stream = null;
    this.#advice = null;
    this.#otherInView = false;
  }

  async #work(turn: number, work: (reader: CodeReader) => Promise<void>): Promise<void> {
    try {
      await work((this.#reader ??= new CodeReader()));
    } catch (error) {
      if (turn === this.#turn) this.#end(`Reading the codes failed: ${(error as Error).message}`);
    }
  }

  async #hear(text: string): Promise<void> {
    const heard = this.#collector.take(text);
    this.#note(heard, performance.now());
    if (heard === 'contradiction') this.#end(DAMAGED);
    if (heard === 'whole') await this.#readWhole(this.#collector.payload!);
  }

  #note(heard: CodeHeard, now: number): void {
    if (heard === 'newer') this.#newer = true;
    if (heard === 'other') this.#seen.otherAt = now;
    if (heard !== 'known' && heard !== 'new') return;
    this.#seen.ownAt = now;
    this.#seen.firstAt ??= now;
    this.#count();
  }

  #count(): void {
    this.#parts = this.#collector.parts;
    this.#needed = this.#collector.needed;
  }

  #look(): void {
    const now = performance.now();
    const { firstAt, otherAt } = this.#seen;
    this.#advice = receivingAdvice(this.#seen, now);
    this.#otherInView = otherAt !== null && now - otherAt < 2000;
    this.#secondsLeft = firstAt === null ? null : secondsLeft(this.#parts, this.#needed, now - firstAt);
  }

  async #readWhole(payload: Uint8Array): Promise<void> {
    this.#stop();
    const turn = this.#turn;
    this.#phase = 'reading';
    const reader = (this.#handoff = new HandoffReader());
    try {
      const received = await this.#receive(reader, payload);
      if (turn !== this.#turn) return;
      this.#stop();
      this.#received = received;
      this.#phase = received ? 'whole' : 'idle';
    } catch (error) {
      if (turn === this.#turn) this.#end(`Reading what came failed: ${(error as Error).message}`);
    }
  }

  /** `null` when what came cannot be taken, which is then said. Rejects when the reader is stopped. */
  async #receive(reader: HandoffReader, payload: Uint8Array): Promise<ReceivedHandoff | null> {
    const answer = await reader.read(payload, CODES);
    if (answer.kind === 'faults') this.#intake.refuseFor(answer.faults);
    if (answer.kind === 'damaged') this.#intake.refuse(DAMAGED);
    if (answer.kind !== 'summary') return null;
    const { summary } = answer;
    if (!this.#intake.admits(summary.race, CODES, this.#expectedRace)) return null;
    const records: TallyRecord[] = [];
    for await (const batch of reader.batches()) records.push(...batch);
    try {
      return { ...summary, records, newHere: await countNewRecords(this.#db, summary.race.id, records) };
    } catch (error) {
      this.#intake.refuse(storeFailureText(storeFailure(error)));
      return null;
    }
  }
}

function stopTracks(stream: MediaStream): void {
  for (const track of stream.getTracks()) {
    track.onended = null;
    track.stop();
  }
}
