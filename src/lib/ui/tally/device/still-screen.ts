/** Whether the screen stays where it is under a finger, so that a tap may count at the touch, before it is lifted. */
export class StillScreen {
  #scrolls = false;
  /** The page is zoomed in: a finger may be about to move it. */
  #zoomed = false;

  get isStill(): boolean {
    return !this.#scrolls && !this.#zoomed;
  }

  /** Watches until the function it returns is called. */
  watch(work: HTMLElement): () => void {
    const size = new ResizeObserver(() => {
      this.#scrolls = work.scrollHeight > work.clientHeight + 1;
    });
    size.observe(work);
    const zoom = () => (this.#zoomed = (window.visualViewport?.scale ?? 1) > 1.01);
    zoom();
    window.visualViewport?.addEventListener('resize', zoom);
    // A thumb that slides must not reload the page. On the page as a whole: on the screen alone it would also keep a page
    // that is zoomed in from being moved.
    const root = document.documentElement;
    root.style.overscrollBehavior = 'none';
    return () => {
      root.style.overscrollBehavior = '';
      window.visualViewport?.removeEventListener('resize', zoom);
      size.disconnect();
    };
  }
}
