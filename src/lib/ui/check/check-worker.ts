import { checkBasis } from '../../store/race/check-count.ts';
import { KerbsideDatabase } from '../../store/database.ts';
import { checkFromStore } from './check-from-store.ts';
import type { CheckAnswer, CheckAsked } from './run-check.ts';

// A race of 20,000 starters takes half a second: long enough for a scroll to stutter on the page's own thread.
const db = new KerbsideDatabase();

self.onmessage = async ({ data: { ask, raceId, countOnly } }: MessageEvent<CheckAsked>) => {
  const answer = (message: CheckAnswer) => self.postMessage(message);
  try {
    const basis = await checkBasis(db, raceId);
    const view = await checkFromStore(db, raceId, (share) => answer({ ask, share }));
    answer({ ask, view: countOnly ? null : view, ...(view && { counted: { open: view.doubts.length, basis } }) });
  } catch (error) {
    answer({ ask, fault: error instanceof Error ? error.message : String(error) });
  }
};
