/** What is shown next: items in their order, those that were void once more at the end. */
export class PracticeQueue<Item> {
  #waiting: Item[];
  readonly #voids = new Map<Item, number>();
  #answered: number;

  /** @param answered how many were answered before this queue began */
  constructor(items: readonly Item[], answered = 0) {
    this.#waiting = [...items];
    this.#answered = answered;
  }

  /** The item to be shown, `undefined` when all are answered. */
  get current(): Item | undefined {
    return this.#waiting[0];
  }
  /** The position of the answer that comes next, from 1. */
  get position(): number {
    return this.#answered + 1;
  }
  /** How many are still to come, the current one included. */
  get left(): number {
    return this.#waiting.length;
  }

  /** How often an item was void. */
  voids(item: Item): number {
    return this.#voids.get(item) ?? 0;
  }

  /** The current item is answered: the next one. */
  answered(): void {
    if (this.#waiting.shift() !== undefined) this.#answered += 1;
  }

  /** The current item could not be seen as it should: it comes again at the end. */
  voided(): void {
    const item = this.#waiting.shift();
    if (item === undefined) return;
    this.#voids.set(item, this.voids(item) + 1);
    this.#waiting.push(item);
  }
}
