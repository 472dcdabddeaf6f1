import type { Feet } from '../../../tally/tally-entry.ts';
import type { Foot } from '../../../records/foot.ts';
import type { ClipItem, ClipSession, PracticeAnswer } from '../../../practice/practice-session.ts';
import { PracticeQueue } from '../../../practice/practice-queue.ts';

interface ClipNeeds {
  readonly session: ClipSession;
  readonly clock: () => number;
  readonly now: () => number;
  readonly keep: (answer: PracticeAnswer) => Promise<void>;
  readonly onfailure: (error: unknown) => void;
  readonly ondone: () => void;
}

/** A session on clips as it runs: each is shown once, and both feet are answered. */
export class ClipRun {
  #clip = $state.raw<ClipItem | undefined>();
  #left = $state<Foot | undefined>();
  #right = $state<Foot | undefined>();
  #position = $state(1);
  #playing = $state(false);
  readonly #queue: PracticeQueue<ClipItem>;
  #beganAt: number | undefined;
  #shownAt = 0;

  constructor(private readonly needs: ClipNeeds) {
    this.#queue = new PracticeQueue(needs.session.clips);
    this.#show();
  }

  get clip() {
    return this.#clip;
  }
  get left() {
    return this.#left;
  }
  get right() {
    return this.#right;
  }
  get position() {
    return this.#position;
  }
  /** Whether the clip has begun and may be answered. */
  get playing() {
    return this.#playing;
  }

  /** The clip began to play: the time of the answer counts from here. */
  began(): void {
    this.#beganAt ??= this.needs.now();
    this.#playing = true;
  }

  answer(feet: Feet, foot: Foot): void {
    if (!this.#playing || !this.#clip) return;
    if (feet !== 'right') this.#left = foot;
    if (feet !== 'left') this.#right = foot;
    if (this.#left && this.#right) void this.#settle(this.#clip, this.#left, this.#right);
  }

  /** The clip cannot be shown: nothing is answered of it. */
  skip(): void {
    this.#queue.answered();
    this.#show();
  }

  async #settle({ item }: ClipItem, left: Foot, right: Foot): Promise<void> {
    this.#playing = false;
    const responseMs = Math.max(0, Math.round(this.needs.now() - (this.#beganAt ?? this.needs.now())));
    const { position } = this.#queue;
    const session = this.needs.session.id;
    try {
      await this.needs.keep({ session, position, item, left, right, responseMs, shownAt: this.#shownAt, voided: 0 });
    } catch (error) {
      this.needs.onfailure(error);
      return;
    }
    this.#queue.answered();
    this.#show();
  }

  #show(): void {
    this.#clip = this.#queue.current;
    this.#position = this.#queue.position;
    this.#left = this.#right = undefined;
    this.#beganAt = undefined;
    this.#playing = false;
    this.#shownAt = this.needs.clock();
    if (!this.#clip) this.needs.ondone();
  }
}
