import type { FoundPassage } from '$lib/clips/find-passages.ts';
import type { RecordedClock } from '$lib/clips/frame-times.ts';

/** What the worker is to search: the file itself, of which nothing is copied, and what its frames are in real time. */
export interface SearchRequest {
  readonly file: Blob;
  readonly clock: RecordedClock;
}

export type SearchReply =
  /** Share of the clip that is searched, and what has been found so far. */
  | { readonly kind: 'progress'; readonly share: number; readonly found: readonly FoundPassage[] }
  | { readonly kind: 'done'; readonly found: readonly FoundPassage[] }
  | { readonly kind: 'fault'; readonly words: string };
