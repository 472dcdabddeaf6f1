import { clockJump, type ClockReading } from '../../../tally/clock-jump.ts';

/** A clock that was set while somebody tallied. */
export interface ClockSet {
  /** By how much in all, milliseconds; ahead is positive. */
  readonly jumpMs: number;
  /** What it shows since then, milliseconds since 1970. */
  readonly shows: number;
}

/** Notices when the device's clock is set while the screen is open. */
export class ClockWatch {
  readonly #read: () => ClockReading;
  #before: ClockReading;
  #hidden = false;
  #set = $state.raw<ClockSet | undefined>();

  constructor(read: () => ClockReading) {
    this.#read = read;
    this.#before = read();
  }

  /** Until it is set right again or somebody has taken note. */
  get set(): ClockSet | undefined {
    return this.#set;
  }

  /** Says that the page was out of sight: the device may have slept. */
  wasHidden(): void {
    this.#hidden = true;
  }

  look(): void {
    const now = this.#read();
    const jump = clockJump(this.#before, now, this.#hidden);
    this.#before = now;
    this.#hidden = false;
    if (jump === 0) return;
    const jumpMs = (this.#set?.jumpMs ?? 0) + jump;
    this.#set = Math.abs(jumpMs) < 60_000 ? undefined : { jumpMs, shows: now.wall };
  }

  takeNote(): void {
    this.#set = undefined;
  }
}
