import type { CheckInput } from '../input/check-input.ts';
import type { Doubt } from '../doubt.ts';
import { doubtKey } from '../doubt-key.ts';

/**
 * Doubts about files of which two recorded rates were said: the later stands, and one of the two makes every time wrong.
 * Whoever mends a rate of their own takes the first one back, and nobody is asked.
 */
export function findTwoRates({
  clips = [],
  passages,
  checkpoints,
}: Pick<CheckInput, 'clips' | 'passages' | 'checkpoints'>) {
  return [...new Set(clips.map(({ clip }) => clip))].flatMap((clip): Doubt[] => {
    const own = clips.filter((one) => one.clip === clip);
    const rates = new Set(own.map(({ fpsRecorded }) => fpsRecorded));
    if (rates.size < 2) return [];
    const said = own.toSorted((a, b) => Number(b.stands) - Number(a.stands));
    const checkpoint = said[0]!.checkpoint;
    const here = passages?.passages.filter((passage) => passage.clip === clip) ?? [];
    const place = checkpoint === null ? null : (checkpoints[checkpoint]!.place ?? checkpoint);
    return [
      {
        key: doubtKey(['two-rates', clip, place, said[0]!.fpsRecorded, ...[...rates].sort((a, b) => a - b)]),
        ...{ kind: 'clip', checkpoint, bib: null, records: said.map(({ id }) => id) },
        facts: {
          type: 'two-rates',
          said: said.map(({ fpsRecorded: fps, observer }) => ({ fps, observer })),
          bibs: [...new Set(here.flatMap(({ bib }) => bib ?? []))],
        },
        ...{ candidates: [], proposal: null, weight: 0.85, film: { clip, frame: 0 } },
      },
    ];
  });
}
