export const startSearchWorker = (): Worker =>
  new Worker(new URL('./search-worker.ts', import.meta.url), { type: 'module' });
