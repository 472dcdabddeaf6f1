import type { TallyState } from './tally-state.svelte.ts';

/** What the fingers that are down have done to the foot grid: they may turn out to pinch. */
export class FootTaps {
  readonly #tally: Pick<TallyState, 'correction' | 'undo'>;
  /** For each tap, whether it tallied a runner. */
  #taps: boolean[] = [];

  constructor(tally: Pick<TallyState, 'correction' | 'undo'>) {
    this.#tally = tally;
  }

  add(tallied: boolean): void {
    this.#taps.push(tallied);
  }

  /** Other fingers come down from here on. */
  forget(): void {
    this.#taps = [];
  }

  takeBack(): void {
    const runners = this.#taps.filter(Boolean).length;
    const feetWait = this.#taps.at(-1) === false;
    this.forget();
    if (this.#tally.correction) return;
    for (let n = feetWait ? -1 : 0; n < runners; n += 1) this.#tally.undo();
  }
}
