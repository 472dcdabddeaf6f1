import { KerbsideDatabase } from '../../store/database.ts';
import { checkFromStore } from './check-from-store.ts';

// A race of 20,000 starters takes half a second: long enough for a scroll to stutter on the page's own thread.
const db = new KerbsideDatabase();

self.onmessage = async ({ data }: MessageEvent<{ ask: number; raceId: string }>) => {
  try {
    self.postMessage({ ask: data.ask, view: await checkFromStore(db, data.raceId) });
  } catch (error) {
    self.postMessage({ ask: data.ask, fault: error instanceof Error ? error.message : String(error) });
  }
};
