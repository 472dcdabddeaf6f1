import type { CheckpointGait, GaitChange } from './gait.ts';

const one = (n: number, word: string): string => `${n} ${word}${n === 1 ? '' : 's'}`;

function hasNull(value: unknown): boolean {
  if (value === null) return true;
  return typeof value === 'object' && Object.values(value).some(hasNull);
}

function excludedNote({ checkpoint, excluded }: CheckpointGait): string[] {
  const { doubtful, repeats, incomplete, outside, noSighting, noBib, disputed, lowRate, shortShoe } = excluded;
  const said = [
    [noSighting, one(noSighting, 'mark') + ' whose passage has no sighting'],
    [noBib, one(noBib, 'mark') + ' of a runner without a bib'],
    [repeats, one(repeats, 'mark') + ' that a later one replaces'],
    [doubtful, one(doubtful, 'doubtful mark')],
    [incomplete, one(incomplete, 'mark') + ' outside a whole step'],
    [outside, one(outside, 'mark') + ' beyond the end of the clip'],
    [disputed, one(disputed, 'step') + ' of runners whose gait is disputed'],
    [lowRate, one(lowRate, 'step') + ' below 100 frames a second (no flight, no angles; below 60 no times)'],
    [shortShoe, one(shortShoe, 'step') + ' with a shoe shorter than 40 pixels (no strike angle)'],
  ] as const;
  const there = said.filter(([n]) => n > 0).map(([, words]) => words);
  return there.length > 0 ? [`Left out of gait at ${checkpoint}: ${there.join('; ')}.`] : [];
}

/** What a reader of the gait figures needs to know; `gait` is `null` without marks. */
export function gaitNotes(gait: readonly CheckpointGait[] | null, change: GaitChange | null): string[] {
  if (gait === null) return ['gait and gaitChange are null: no marks were given.'];
  const notes = gait.flatMap(excludedNote);
  if (change === null) notes.push('gaitChange is null: there is one checkpoint only.');
  if (hasNull(gait) || hasNull(change)) {
    notes.push(
      'In gait and gaitChange a figure of nobody is null; a figure of one runner, or of runners all alike, has no interval and no test.',
    );
  }
  return notes;
}
