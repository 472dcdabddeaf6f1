/** Whether the store takes records just now: a full disk is told to those who ask, and forgotten at the first write. */
export class StorageState {
  readonly #cannotStore: (error: unknown) => boolean;
  #failing = false;

  /** @param cannotStore whether an error means that nothing can be stored for now */
  constructor(cannotStore: (error: unknown) => boolean) {
    this.#cannotStore = cannotStore;
  }

  get failing(): boolean {
    return this.#failing;
  }

  /** Runs a write and notes how it went. */
  async watch<T>(write: () => Promise<T>): Promise<T> {
    try {
      const result = await write();
      this.#failing = false;
      return result;
    } catch (error) {
      if (this.#cannotStore(error)) this.#failing = true;
      throw error;
    }
  }
}

/** The code that a database gives its errors, empty when it gives none. */
export function errorCode(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}
