/**
 * The browser's IndexedDB, with a view of the transactions that run. A browser that freezes a page for the way back may freeze
 * it in the middle of one, whose locks then hold up every page after it for ever: WebKit does. So a page takes back what
 * it has under way when it is left.
 */
export class OpenTransactions {
  readonly #open = new Set<IDBTransaction>();
  #left = false;
  #tookBack = false;
  readonly #factory: Pick<IDBFactory, 'open' | 'deleteDatabase' | 'databases'>;

  constructor(factory: Pick<IDBFactory, 'open' | 'deleteDatabase' | 'databases'>) {
    this.#factory = factory;
  }

  /** Whether something was taken back: what waits for it on this page waits in vain. */
  get tookBack(): boolean {
    return this.#tookBack;
  }

  open(name: string, version?: number): IDBOpenDBRequest {
    const request = this.#factory.open(name, version);
    request.addEventListener('upgradeneeded', () => this.#add(request.transaction!));
    request.addEventListener('success', () => this.#watch(request.result));
    return request;
  }

  deleteDatabase(name: string): IDBOpenDBRequest {
    return this.#factory.deleteDatabase(name);
  }

  databases(): Promise<IDBDatabaseInfo[]> {
    return this.#factory.databases();
  }

  /** Takes back all that runs and is not committed yet, and from now on all that begins. Call when the page is put away. */
  leave(): void {
    this.#left = true;
    for (const transaction of this.#open) this.#takeBack(transaction);
  }

  /** The page is there again. */
  comeBack(): void {
    this.#left = false;
  }

  #watch(database: IDBDatabase): void {
    const begin = database.transaction.bind(database);
    database.transaction = (...asked) => {
      const transaction = begin(...asked);
      this.#add(transaction);
      // What commits before it lets go of the thread needs the page no more.
      if (this.#left) queueMicrotask(() => this.#takeBack(transaction));
      return transaction;
    };
  }

  #add(transaction: IDBTransaction): void {
    const end = () => this.#open.delete(transaction);
    this.#open.add(transaction);
    transaction.addEventListener('complete', end);
    transaction.addEventListener('abort', end);
  }

  #takeBack(transaction: IDBTransaction): void {
    try {
      transaction.abort();
      this.#tookBack = true;
    } catch {
      // It is committed, or has ended.
    }
  }
}
