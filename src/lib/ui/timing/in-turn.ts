/** Does one piece of work after the other, in the order in which they were asked for. One that fails does not hold up the next. */
export class InTurn {
  #last: Promise<unknown> = Promise.resolve();

  /** Settles as `work` does, which begins when all asked for before have ended. */
  take<Result>(work: () => Promise<Result>): Promise<Result> {
    const done = this.#last.then(work);
    this.#last = done.catch(() => undefined);
    return done;
  }
}
