/** Opens every fold for the paper, as some browsers do not print one that is shut, and sets them back after it. */
export class FoldsForPaper {
  #shut: HTMLDetailsElement[] = [];

  unfold(): void {
    this.#shut = [...document.querySelectorAll<HTMLDetailsElement>('main details:not([open]):not(.no-print)')];
    for (const fold of this.#shut) fold.open = true;
  }

  foldBack(): void {
    for (const fold of this.#shut) fold.open = false;
    this.#shut = [];
  }
}
