/** So much at once, and after that so much a second. */
export interface Rate {
  readonly atOnce: number;
  readonly perSecond: number;
}

/** Keys after which those that have all of their allowance again are forgotten. */
const MOST_KEYS = 5000;

interface Left {
  amount: number;
  at: number;
}

/**
 * What each of many may still bring at one rate. Whoever has anything left may bring a whole push, and waits afterwards
 * until the debt is made good: so nobody's push is cut in two, and over time the rate holds.
 */
export class Allowances {
  readonly #rate: Rate;
  readonly #left = new Map<string, Left>();

  constructor(rate: Rate) {
    this.#rate = rate;
  }

  /**
   * @param now milliseconds; a clock that is set back gives nothing and takes nothing
   * @returns whole seconds until `key` may bring something; 0 when it may now
   */
  waitS(key: string, now: number): number {
    const left = this.#leftOf(key, now);
    return left > 0 ? 0 : Math.max(1, Math.ceil(-left / this.#rate.perSecond));
  }

  spend(key: string, amount: number, now: number): void {
    const left = this.#leftOf(key, now) - amount;
    this.#left.set(key, { amount: left, at: now });
    if (this.#left.size > MOST_KEYS) this.#forgetFull(now);
  }

  #leftOf(key: string, now: number): number {
    const { atOnce, perSecond } = this.#rate;
    const left = this.#left.get(key);
    if (!left) return atOnce;
    return Math.min(atOnce, left.amount + (Math.max(0, now - left.at) / 1000) * perSecond);
  }

  #forgetFull(now: number): void {
    for (const key of this.#left.keys()) if (this.#leftOf(key, now) >= this.#rate.atOnce) this.#left.delete(key);
  }
}
