/**
 * Shows a long page part by part: mounting all at once would hold up a tap. Each is painted before the next one is made, so
 * that the first figures wait for nothing below them.
 */
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
    let task: ReturnType<typeof setTimeout> | undefined;
    let frame: number | undefined;
    const show = () => {
      this.#shown += 1;
      if (this.#shown < this.#parts) frame = requestAnimationFrame(soon);
    };
    const soon = () => (task = setTimeout(show));
    soon();
    return () => {
      clearTimeout(task);
      if (frame !== undefined) cancelAnimationFrame(frame);
    };
  }
}
