interface Timer {
  readonly at: number;
  readonly then: () => void;
}

/** A clock that stands still until the test moves it, and the timers that hang on it. */
export class FakeClock {
  #now: number;
  #timers = new Set<Timer>();

  constructor(startMs: number) {
    this.#now = startMs;
  }

  now = (): number => this.#now;

  setTimer = (ms: number, then: () => void): (() => void) => {
    const timer = { at: this.#now + ms, then };
    this.#timers.add(timer);
    return () => this.#timers.delete(timer);
  };

  sleep = (ms: number): Promise<void> => new Promise((resolve) => void this.setTimer(ms, resolve));

  /** Lets `ms` pass: every timer rings at its time, and what it sets going comes to rest before the next. */
  async advance(ms: number): Promise<void> {
    const end = this.#now + ms;
    for (;;) {
      await rest();
      const next = [...this.#timers].sort((a, b) => a.at - b.at)[0];
      if (!next || next.at > end) break;
      this.#timers.delete(next);
      this.#now = Math.max(this.#now, next.at);
      next.then();
    }
    this.#now = end;
  }
}

/** Promises that wait for nothing but each other are done after this. */
async function rest(): Promise<void> {
  for (let i = 0; i < 3; i += 1) await new Promise((resolve) => setImmediate(resolve));
}
