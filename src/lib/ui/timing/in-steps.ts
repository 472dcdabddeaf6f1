import { afterPaint } from './after-paint.ts';

/** Takes the steps of a long piece of work one a frame, so that the page hears a tap between any two. */
export class InSteps {
  #steps: Iterator<unknown> | null = null;

  /** Begins with `steps`, the first of them at once; what is left of those before is dropped. */
  begin(steps: Iterator<unknown>): void {
    this.#steps = steps;
    this.#next(steps);
  }

  /** Takes all that are left at once, as for paper. */
  finish(): void {
    while (this.#steps) this.#step(this.#steps);
  }

  stop(): void {
    this.#steps = null;
  }

  #next(steps: Iterator<unknown>): void {
    if (this.#steps !== steps) return;
    this.#step(steps);
    if (this.#steps) afterPaint(() => this.#next(steps));
  }

  #step(steps: Iterator<unknown>): void {
    if (steps.next().done) this.#steps = null;
  }
}
