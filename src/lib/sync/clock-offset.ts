/** One exchange with the hub: when it was sent and answered by this device's clock, and the hub's clock in between. */
export interface ClockSample {
  readonly sentMs: number;
  readonly receivedMs: number;
  readonly hubMs: number;
}

export interface ClockOffset {
  /** Hub clock minus this device's clock, milliseconds. */
  readonly offsetMs: number;
  /** The offset is off by no more than half of this. */
  readonly roundTripMs: number;
}

/** The hub's clock is taken to have been read in the middle of the round trip. */
export function clockOffset({ sentMs, receivedMs, hubMs }: ClockSample): ClockOffset {
  return {
    offsetMs: Math.round(hubMs - (sentMs + receivedMs) / 2),
    roundTripMs: Math.max(0, receivedMs - sentMs),
  };
}

const KEPT = 8;

/** Keeps the last few offsets: the one with the shortest round trip among them is the one to trust. */
export class OffsetEstimate {
  #recent: ClockOffset[] = [];

  add(sample: ClockSample): ClockOffset {
    const offset = clockOffset(sample);
    // A device clock that was set meanwhile makes older offsets worthless.
    const jumped = this.#recent.some(
      (o) => Math.abs(o.offsetMs - offset.offsetMs) > (o.roundTripMs + offset.roundTripMs) / 2 + 250,
    );
    this.#recent = jumped ? [offset] : [...this.#recent.slice(1 - KEPT), offset];
    return this.#recent.reduce((best, o) => (o.roundTripMs < best.roundTripMs ? o : best));
  }
}
