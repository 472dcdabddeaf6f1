/** It needs a door to the database before all else: see `openDoor`. */
export const startFindingsWorker = (): Worker =>
  new Worker(new URL('./findings-worker.ts', import.meta.url), { type: 'module' });
