/** Shows a long page part by part, each in a task of its own: mounting all at once would hold up a tap. */
export class StepByStep {
  readonly #parts: number;
  #shown = $state(0);

  constructor(parts: number) {
    this.#parts = parts;
  }

  /** How many parts are shown by now. */
  get shown(): number {
    return this.#shown;
  }

  /** Goes on until all are shown or the function it returns is called. */
  start(): () => void {
    let next: ReturnType<typeof setTimeout>;
    const show = () => {
      this.#shown += 1;
      if (this.#shown < this.#parts) next = setTimeout(show);
    };
    next = setTimeout(show);
    return () => clearTimeout(next);
  }
}
