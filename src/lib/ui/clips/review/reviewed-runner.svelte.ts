import type { Foot, Gait } from '$lib/records/foot.ts';
import type { SeenRunner } from '$lib/records/seen-runner.ts';

const LONGEST_BIB = 16;

/** What is being said of the runner in review: bib and feet, until the passage is closed. */
export class ReviewedRunner {
  #bib = $state('');
  #left = $state<Foot | undefined>();
  #right = $state<Foot | undefined>();

  /** Empty for no bib. */
  get bib(): string {
    return this.#bib;
  }
  get left(): Foot | undefined {
    return this.#left;
  }
  get right(): Foot | undefined {
    return this.#right;
  }
  get hasFeet(): boolean {
    return this.#left !== undefined && this.#right !== undefined;
  }

  type(character: string): void {
    this.setBib(`${this.#bib}${character}`);
  }
  erase(): void {
    this.#bib = this.#bib.slice(0, -1);
  }
  setBib(bib: string): void {
    this.#bib = bib.trim().slice(0, LONGEST_BIB);
  }

  chooseFeet(feet: 'left' | 'right' | 'both', foot: Foot): void {
    if (feet !== 'right') this.#left = foot;
    if (feet !== 'left') this.#right = foot;
  }

  /** Goes on with what was said before. */
  take(said: { readonly bib: string | null; readonly left: Foot | undefined; readonly right: Foot | undefined }): void {
    [this.#bib, this.#left, this.#right] = [said.bib ?? '', said.left, said.right];
  }

  clear(): void {
    [this.#bib, this.#left, this.#right] = ['', undefined, undefined];
  }

  /** As it is recorded; feet that nobody chose are unseen, and so are a walker's. */
  seen(gait: Gait): SeenRunner {
    const bib = this.#bib === '' ? null : this.#bib;
    return gait === 'walk'
      ? { bib, gait, left: 'unseen', right: 'unseen' }
      : { bib, gait, left: this.#left ?? 'unseen', right: this.#right ?? 'unseen' };
  }
}
