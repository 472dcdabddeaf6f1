import type { RacePassage } from '../../clips/passages-of-race.ts';

/** Numbers from 1 for clips and for passages, in the order in which marks of them were first made. */
export function clipNames(passages: readonly RacePassage[]): {
  readonly clips: ReadonlyMap<string, string>;
  readonly passages: ReadonlyMap<string, string>;
} {
  const numbers = (ids: readonly string[]) => new Map([...new Set(ids)].map((id, place) => [id, String(place + 1)]));
  return {
    clips: numbers(passages.map(({ clip }) => clip.clip)),
    passages: numbers(passages.map(({ passage }) => passage.id)),
  };
}
