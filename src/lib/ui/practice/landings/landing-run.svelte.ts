import type { Foot } from '../../../records/foot.ts';
import type { Landing } from '../../../practice/landing.ts';
import { landingScene } from '../../../practice/landing-scene.ts';
import { PracticeQueue } from '../../../practice/practice-queue.ts';
import type { SessionScore } from '../../../practice/practice-scores.ts';
import { sequentialDecision } from '../../../practice/score-session.ts';
import { landingsOf, type DrawnSession, type PracticeAnswer } from '../../../practice/practice-session.ts';
import type { LandingPlayer } from './landing-player.ts';

/** A test goes on by itself after this, milliseconds. */
const BETWEEN_MS = 500;
/** So many voids one after the other, and the device is not up to it. */
const VOIDS_IN_A_ROW = 6;
/** Below this many frames a second a landing cannot be shown. */
export const LEAST_FRAMES = 30;

export type RunPhase = 'measuring' | 'slow' | 'coming' | 'open' | 'answered' | 'done';

export interface RunNeeds {
  readonly player: LandingPlayer;
  readonly session: DrawnSession;
  readonly clock: () => number;
  readonly now: () => number;
  /** Keeps an answer; a rejection is shown by `onfailure`. */
  readonly keep: (answer: PracticeAnswer) => Promise<void>;
  readonly onfailure: (error: unknown) => void;
  readonly ondone: () => void;
}

/** A session on drawn landings as it runs: shows, takes the answer, goes on. */
export class LandingRun {
  #phase = $state<RunPhase>('measuring');
  #landing = $state.raw<Landing | undefined>();
  #given = $state<Foot | undefined>();
  #framesASecond = $state(0);
  #position = $state(1);
  #left = $state(0);
  #voided = $state(false);
  #shownOnce = $state(false);
  #sequential = $state.raw<SessionScore['sequential'] | undefined>();
  readonly #queue: PracticeQueue<Landing>;
  #contactAt: number | undefined;
  #shownAt = 0;
  /** Answer that waits until the instants that count are over. */
  #held: { foot: Foot; responseMs: number } | undefined;
  #watched = false;
  #voidsInARow = 0;
  /** Of each classed answer, whether rearfoot was told from anything else. */
  readonly #told: boolean[] = [];
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly needs: RunNeeds) {
    this.#queue = new PracticeQueue(landingsOf(needs.session));
    this.#left = this.#queue.left;
  }

  get phase() {
    return this.#phase;
  }
  /** The landing that is asked about. */
  get landing() {
    return this.#landing;
  }
  /** What was answered, while it is shown again. */
  get given() {
    return this.#given;
  }
  get framesASecond() {
    return this.#framesASecond;
  }
  get position() {
    return this.#position;
  }
  get left() {
    return this.#left;
  }
  /** Whether the landing before this one was void. */
  get voided() {
    return this.#voided;
  }
  /** Training: what the answers so far say of going on, at the answer that decides. */
  get sequential() {
    return this.#sequential;
  }
  /** Slow landings may be looked at again, real ones not. */
  get mayShowAgain() {
    return this.#phase === 'open' && this.#shownOnce && (this.#landing?.rate ?? 1) < 1;
  }
  /** The runner has gone by and nothing was answered. */
  get waiting() {
    return this.#phase === 'open' && this.#shownOnce;
  }
  get training() {
    return this.needs.session.kind === 'training';
  }

  /** Measures the device, then begins. */
  async begin(): Promise<void> {
    const first = this.#queue.current!;
    const frameMs = await this.needs.player.frameTime(landingScene(first));
    this.#framesASecond = Math.round(1000 / frameMs);
    if (this.#framesASecond < LEAST_FRAMES) this.#phase = 'slow';
    else this.#showNext();
  }

  showAgain(): void {
    if (this.#landing && this.mayShowAgain) this.#play(this.#landing, true);
  }

  /** The tap on the foot grid. Nothing before first contact: that would be a guess. */
  answer(foot: Foot): void {
    if (this.#phase !== 'open' || this.#contactAt === undefined || this.#held) return;
    this.#held = { foot, responseMs: Math.max(0, Math.round(this.needs.now() - this.#contactAt)) };
    if (this.#watched) void this.#settle();
  }

  /** Training: on to the next landing. */
  next(): void {
    if (this.#phase === 'answered') this.#showNext();
  }

  stop(): void {
    clearTimeout(this.#timer);
    this.needs.player.stop();
    this.#phase = 'done';
  }

  #showNext(): void {
    const next = this.#queue.current;
    this.#left = this.#queue.left;
    this.#position = this.#queue.position;
    this.#given = undefined;
    this.#sequential = undefined;
    if (!next) {
      this.#phase = 'done';
      this.needs.ondone();
      return;
    }
    this.#landing = next;
    this.#shownOnce = false;
    this.#contactAt = undefined;
    this.#held = undefined;
    this.#watched = false;
    this.#phase = 'coming';
    this.#shownAt = this.needs.clock();
    this.#play(next, false);
  }

  #play(landing: Landing, again: boolean): void {
    this.needs.player.show(landingScene(landing), {
      oncontact: (at) => {
        this.#contactAt ??= at;
        // Shown again, it may be answered already while the answer is still being kept.
        if (this.#phase === 'coming') this.#phase = 'open';
      },
      onwatched: (isVoid) => {
        if (again) return;
        this.#watched = true;
        if (isVoid) this.#void();
        else {
          this.#voidsInARow = 0;
          this.#voided = false;
          if (this.#held) void this.#settle();
        }
      },
      onend: () => (this.#shownOnce = true),
    });
  }

  #void(): void {
    this.#queue.voided();
    this.#voided = true;
    this.#voidsInARow += 1;
    if (this.#voidsInARow < VOIDS_IN_A_ROW) this.#showNext();
    else {
      this.needs.player.stop();
      this.#phase = 'slow';
    }
  }

  /** Notes whether rearfoot was told, and whether that decides. */
  #tell(landing: Landing, foot: Foot): void {
    if (!this.training || foot === 'unseen') return;
    this.#told.push((foot === 'rearfoot') === (landing.class === 'rearfoot'));
    const result = sequentialDecision(this.#told);
    if (result.at === this.#told.length) this.#sequential = result;
  }

  async #settle(): Promise<void> {
    const landing = this.#landing!;
    const { foot, responseMs } = this.#held!;
    this.#phase = 'answered';
    this.#given = foot;
    const { position } = this.#queue;
    const voided = this.#queue.voids(landing);
    try {
      const { id } = this.needs.session;
      const shownAt = this.#shownAt;
      await this.needs.keep({ session: id, position, item: landing.item, answer: foot, responseMs, shownAt, voided });
    } catch (error) {
      this.needs.onfailure(error);
      return;
    }
    if (this.#phase !== 'answered') return;
    this.#queue.answered();
    this.#tell(landing, foot);
    if (this.training) this.needs.player.hold(landingScene(landing), 0);
    else this.#timer = setTimeout(() => this.#showNext(), BETWEEN_MS);
  }
}
