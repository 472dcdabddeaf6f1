/**
 * Lets one of all that wait begin in each turn of the event loop, so that what comes in meanwhile is never behind more than
 * one of them: fifty readers whose connections are ready at once must not keep a push, or the question whether the hub is
 * there, waiting for fifty pieces.
 */
export class OneATurn {
  readonly #waiting: (() => void)[] = [];

  /** Resolves when its turn has come. */
  wait(): Promise<void> {
    return new Promise((go) => {
      this.#waiting.push(go);
      if (this.#waiting.length === 1) setImmediate(this.#next);
    });
  }

  readonly #next = (): void => {
    this.#waiting.shift()?.();
    if (this.#waiting.length > 0) setImmediate(this.#next);
  };
}
