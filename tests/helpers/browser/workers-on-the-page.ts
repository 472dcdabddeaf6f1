import type { Page } from '@playwright/test';

/**
 * Lets the page's workers run on its own main thread, in frames of the same origin: slowing the page then slows all of
 * its work, as a slow tablet would, and not only what is not in workers.
 */
export async function runWorkersOnThePage(page: Page): Promise<void> {
  await page.addInitScript(() => {
    class WorkerOnThePage {
      onmessage: ((event: { data: unknown }) => void) | null = null;
      onerror: ((event: { message: string }) => void) | null = null;
      readonly #frame = document.createElement('iframe');
      readonly #ready: Promise<void>;

      constructor(url: URL | string) {
        this.#frame.hidden = true;
        document.body.append(this.#frame);
        const inside = this.#frame.contentWindow as unknown as { postMessage: (data: unknown) => void };
        inside.postMessage = (data) => setTimeout(() => this.onmessage?.({ data }));
        this.#ready = new Promise((resolve) => {
          const script = this.#frame.contentDocument!.createElement('script');
          script.type = 'module';
          script.src = String(url);
          script.onload = () => resolve();
          this.#frame.contentDocument!.head.append(script);
        });
      }

      postMessage(data: unknown): void {
        const inside = this.#frame.contentWindow as unknown as { onmessage: (event: { data: unknown }) => void };
        void this.#ready.then(() => setTimeout(() => inside.onmessage({ data })));
      }

      terminate(): void {
        this.#frame.remove();
      }
    }
    Object.assign(window, { Worker: WorkerOnThePage });
  });
}
