import { storeOfPage } from '../store-door/store-of-page.ts';
import { checkFromStore } from './check-from-store.ts';
import type { CheckAnswer, CheckAsked } from './run-check.ts';

// A race of 20,000 starters takes half a second: long enough for a scroll to stutter on the page's own thread.
const { store } = storeOfPage();

self.onmessage = async ({ data: { ask, raceId, countOnly } }: MessageEvent<CheckAsked>) => {
  const answer = (message: CheckAnswer) => self.postMessage(message);
  try {
    const basis = await store.checkBasis(raceId);
    const view = await checkFromStore(store, raceId, (share) => answer({ ask, share }));
    answer({ ask, view: countOnly ? null : view, ...(view && { counted: { open: view.doubts.length, basis } }) });
  } catch (error) {
    answer({ ask, fault: error instanceof Error ? error.message : String(error) });
  }
};
