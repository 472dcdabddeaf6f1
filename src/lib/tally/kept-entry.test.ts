import { expect, test } from 'vitest';
import { BibList } from '../race/bib-list.ts';
import { keptEntryText, readKeptEntry } from './kept-entry.ts';
import { meantStep, NO_PROGRESS, type ProgressAction, type TallyProgress } from './meant-step.ts';

function after(...actions: [ProgressAction, number][]): TallyProgress {
  let progress = NO_PROGRESS;
  for (const [action, at] of actions) ({ progress } = meantStep(progress, action, at, new BibList([])));
  return progress;
}
const feet = (at: number, which: 'left' | 'both' = 'both'): [ProgressAction, number] => [
  { type: 'feet', feet: which, foot: 'rearfoot', at },
  at,
];
const typed = (character: string): [ProgressAction, number] => [{ type: 'character', character }, 0];

test.each<[string, TallyProgress]>([
  ['nothing', NO_PROGRESS],
  ['a row and a half-entered runner', after(typed('7'), [{ type: 'lineUp' }, 0], typed('9'), feet(5, 'left'))],
  ['feet that wait for a bib', after(feet(5))],
  [
    'a question and what waits for it',
    after(
      ...['7', '8'].flatMap((bib) => [typed(bib), [{ type: 'lineUp' }, 0] as [ProgressAction, number]]),
      feet(5),
      feet(200),
      feet(2000, 'left'),
    ),
  ],
  ['no bib, chosen ahead', after([{ type: 'noBib' }, 0])],
])('%s comes back as it was', (_, { entry, repeat }) => {
  const kept = { station: 'N4 at-10', at: 17, seq: 3, progress: { entry, repeat } };
  expect(readKeptEntry(keptEntryText(kept))).toEqual(kept);
});

test('nothing is read from what is not ours', () => {
  for (const text of ['', '{', 'null', '{"entry":{"typed":"7"}}', '{"station":"N4","at":1,"seq":0,"entry":{}}']) {
    expect(readKeptEntry(text)).toBeUndefined();
  }
});
