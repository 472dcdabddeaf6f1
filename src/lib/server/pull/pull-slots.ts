/** Pages that one token may have under way: a tablet asks for the next while it keeps one. */
const MOST_AT_ONCE = 4;
/** What comes beyond waits so long for its turn. */
const WAIT_MS = 5_000;

interface Caller {
  underWay: number;
  readonly waiting: (() => void)[];
}

/** Lets each caller have few pages under way, so that nobody fills the memory by asking and not reading. */
export class PullSlots {
  readonly #callers = new Map<string, Caller>();

  /**
   * Waits for the caller's turn.
   *
   * @returns what ends it, to be called once the page is taken or given up; null when the turn did not come in time
   */
  async take(caller: string): Promise<(() => void) | null> {
    const its = this.#callers.get(caller) ?? { underWay: 0, waiting: [] };
    this.#callers.set(caller, its);
    if (its.underWay < MOST_AT_ONCE) its.underWay += 1;
    else if (!(await turn(its))) return null;
    let ended = false;
    return () => {
      if (ended) return;
      ended = true;
      const next = its.waiting.shift();
      if (next) next();
      else its.underWay -= 1;
      if (its.underWay === 0) this.#callers.delete(caller);
    };
  }
}

/** Whether one that ends passes its turn on in time. */
function turn(caller: Caller): Promise<boolean> {
  return new Promise((resolve) => {
    const go = () => {
      clearTimeout(timer);
      resolve(true);
    };
    const timer = setTimeout(() => {
      caller.waiting.splice(caller.waiting.indexOf(go), 1);
      resolve(false);
    }, WAIT_MS);
    caller.waiting.push(go);
  });
}
