/** Lets so much work be under way at once; what comes beyond waits in the order in which it came. */
export class AtMost {
  #free: number;
  readonly #waiting: (() => void)[] = [];

  constructor(count: number) {
    this.#free = count;
  }

  /** Whether what comes now would begin at once. */
  get hasRoom(): boolean {
    return this.#free > 0;
  }

  async run<T>(work: () => Promise<T>): Promise<T> {
    if (this.#free > 0) this.#free -= 1;
    else await new Promise<void>((begin) => this.#waiting.push(begin));
    try {
      return await work();
    } finally {
      const next = this.#waiting.shift();
      if (next) next();
      else this.#free += 1;
    }
  }
}
