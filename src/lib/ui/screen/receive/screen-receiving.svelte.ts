import type { TallyRecord } from '../../../records/record.ts';
import type { CodeHeard } from '../../../screen/frame-collector.ts';
import { receivingAdvice, secondsLeft, type ReceivingAdvice } from '../../../screen/receiving-advice.ts';
import { countNewRecords } from '../../../store/records/count-new-records.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { observersIn, type HandoffContent } from '../../../tables/handoff-file.ts';
import type { HandoffIntake } from '../../handoff/files/handoff-intake.svelte.ts';
import { inPieces } from '../../timing/in-pieces.ts';
import { cameraFailureWords, openCamera } from '../camera/camera.ts';
import { filmSteps, openFilm } from '../camera/film-pictures.ts';
import type { SequenceHeard } from './sequence-messages.ts';
import { SequenceReader } from './sequence-reader.ts';
import { VideoPictures } from '../camera/video-pictures.ts';

/** What came whole, for a person to take or leave. */
export interface ReceivedHandoff extends HandoffContent {
  readonly observers: readonly string[];
  /** `madeAt` of the first and the last record; `null` without records. */
  readonly times: readonly [first: string, last: string] | null;
  readonly confirmation: string;
  readonly newHere: number;
}

type Phase = 'idle' | 'asking' | 'filming' | 'film' | 'reading' | 'whole' | 'taking';

const DAMAGED = 'What came is damaged: the codes do not fit together. Nothing was taken. Begin again.';
const PULLED_OUT = 'The camera was disconnected. Nothing was taken. Begin again.';
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
  #seen: { startedAt: number; ownAt: number | null; otherAt: number | null; firstAt: number | null } = {
    ...{ startedAt: 0, ownAt: null, otherAt: null, firstAt: null },
  };
  /** It holds what was collected; stopping it forgets that. */
  #reader: SequenceReader | null = null;
  #looking: ReturnType<typeof setInterval> | undefined;
  /** Counts what was begun: what belongs to an earlier turn stops when it sees that. */
  #turn = 0;
  /** Counts sequences: what a picture told of an earlier one counts for nothing. */
  #sequence = 0;
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
    this.#reader = new SequenceReader();
    const camera = await openCamera();
    if (turn !== this.#turn) {
      if (camera.ok) stopTracks(camera.value);
      return;
    }
    if (!camera.ok) {
      this.#end(cameraFailureWords(camera.error));
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
        const sequence = this.#sequence;
        const told = await reader.hear(video, 'square');
        if (turn === this.#turn && sequence === this.#sequence) await this.#hear(told);
      }
      pictures.stop();
    });
  }

  /** Reads the codes in a film. Parts that are still missing may come with another film of the same codes. */
  async readFilm(file: File): Promise<void> {
    if (this.#phase !== 'idle') return;
    const turn = this.#begin('film', 'keep');
    await this.#work(turn, async (reader) => {
      const film = await openFilm(file);
      if (!film) return this.#end('This browser cannot play that film. Film with the device’s own camera app, as MP4.');
      try {
        for await (const share of filmSteps(film.video)) {
          if (turn !== this.#turn) return;
          this.#filmed = share;
          const told = await reader.hear(film.video, 'anywhere');
          if (turn !== this.#turn) return;
          await this.#hear(told);
          if (this.#phase !== 'film') return;
        }
      } finally {
        film.close();
      }
      this.#endOfFilm();
    });
  }

  #endOfFilm(): void {
    const [parts, needed] = [this.#parts, this.#needed];
    this.#stopCamera();
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
    this.#sequence += 1;
    this.#reader?.beginAnew();
    this.#count({ parts: 0, needed: 0 });
    this.#lookAnew();
  }

  #lookAnew(): void {
    this.#seen = { startedAt: performance.now(), ownAt: null, otherAt: null, firstAt: null };
    this.#otherInView = false;
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

  /** @param collected `keep` goes on with the parts that an earlier film brought */
  #begin(phase: Phase, collected: 'keep' | 'forget' = 'forget'): number {
    if (collected === 'forget') this.#end('');
    this.#intake.forget();
    this.#phase = phase;
    this.#newer = false;
    this.#lookAnew();
    return this.#turn;
  }

  #end(problem: string): void {
    this.#stop();
    this.#received = null;
    this.#phase = 'idle';
    if (problem !== '') this.#intake.refuse(problem);
  }

  /** Stops camera and reader, and forgets what was collected. */
  #stop(): void {
    this.#stopCamera();
    this.#reader?.stop();
    this.#reader = null;
    this.#count({ parts: 0, needed: 0 });
  }

  #stopCamera(): void {
    this.#turn += 1;
    clearInterval(this.#looking);
    if (this.#stream) stopTracks(this.#stream);
    this.#stream = null;
    this.#advice = null;
    this.#otherInView = false;
  }

  async #work(turn: number, work: (reader: SequenceReader) => Promise<void>): Promise<void> {
    try {
      await work((this.#reader ??= new SequenceReader()));
    } catch (error) {
      if (turn === this.#turn) this.#end(`Reading the codes failed: ${(error as Error).message}`);
    }
  }

  async #hear({ heard, ...counts }: SequenceHeard): Promise<void> {
    if (heard === null) return;
    this.#note(heard, performance.now());
    this.#count(counts);
    if (heard === 'contradiction') this.#end(DAMAGED);
    if (heard === 'whole') await this.#readWhole();
  }

  #note(heard: CodeHeard, now: number): void {
    if (heard === 'newer') this.#newer = true;
    if (heard === 'other') this.#seen.otherAt = now;
    if (heard !== 'known' && heard !== 'new') return;
    this.#seen.ownAt = now;
    this.#seen.firstAt ??= now;
  }

  #count({ parts, needed }: { parts: number; needed: number }): void {
    this.#parts = parts;
    this.#needed = needed;
  }

  #look(): void {
    const now = performance.now();
    const { firstAt, otherAt } = this.#seen;
    this.#advice = receivingAdvice(this.#seen, now);
    this.#otherInView = otherAt !== null && now - otherAt < 2000;
    this.#secondsLeft = firstAt === null ? null : secondsLeft(this.#parts, this.#needed, now - firstAt);
  }

  async #readWhole(): Promise<void> {
    this.#stopCamera();
    const turn = this.#turn;
    this.#phase = 'reading';
    try {
      const received = await this.#receive(turn);
      if (turn !== this.#turn) return;
      this.#stop();
      this.#received = received;
      this.#phase = received ? 'whole' : 'idle';
    } catch (error) {
      if (turn === this.#turn) this.#end(`Reading what came failed: ${(error as Error).message}`);
    }
  }

  /** `null` when what came cannot be taken, which is then said, or was left meanwhile. */
  async #receive(turn: number): Promise<ReceivedHandoff | null> {
    const unpacked = (await this.#reader?.unpack()) ?? null;
    if (turn !== this.#turn) return null;
    if (!unpacked) {
      this.#intake.refuse(DAMAGED);
      return null;
    }
    const { file, confirmation } = unpacked;
    const sources = [{ name: CODES, chunks: inPieces(file) }];
    const content = await this.#intake.look(sources, file.length, CODES, this.#expectedRace);
    if (!content || turn !== this.#turn) return null;
    try {
      return {
        ...content,
        observers: observersIn(content.records),
        times: timesOf(content.records),
        confirmation,
        newHere: await countNewRecords(this.#db, content.race.id, content.records),
      };
    } catch (error) {
      this.#intake.refuse(storeFailureWords(storeFailure(error)));
      return null;
    }
  }
}

function timesOf(records: readonly TallyRecord[]): ReceivedHandoff['times'] {
  if (records.length === 0) return null;
  let [first, last] = [records[0]!.madeAt, records[0]!.madeAt];
  for (const { madeAt } of records) {
    if (madeAt < first) first = madeAt;
    if (madeAt > last) last = madeAt;
  }
  return [first, last];
}

function stopTracks(stream: MediaStream): void {
  for (const track of stream.getTracks()) {
    track.onended = null;
    track.stop();
  }
}
