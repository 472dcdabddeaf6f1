import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { notesInWords } from './notes-in-words.ts';
import type { Pooled } from './pooled.ts';

// Figures of R (README beside the case); what the notes say is ours, so only that no name of the file is left is held here.
const pooled = JSON.parse(
  readFileSync(new URL('../../../../tests/reference/cases-pooled/six/expected.json', import.meta.url), 'utf8'),
) as Pooled;

it('names no figure as the findings file does, and leaves out why one is a dash', () => {
  const notes = [
    'tau2 of oddsRatio is 0: no heterogeneity seen is not none.',
    'tau2 of trend is 0: no heterogeneity seen is not none.',
    'Left out of difference, as nobody was classified at both checkpoints: Trend of share Run.',
    '½ was added in share, as all classified runners were rearfoot or none was, to Ford.',
    'Without a single race the interval of oddsRatio takes in no change, or lies beyond it: Mill.',
    'metaRegression of difference is null: it needs ten races.',
    'All figures of share but its row are null: one race has it.',
  ];
  expect(notesInWords({ ...pooled, notes })).toEqual([
    'No spread of the odds of the shift and the trend between races was seen; there may be some.',
    'Left out of the shift, as nobody was classified at both checkpoints: Trend of share Run.',
    '½ was added in the share, as all classified runners were rearfoot or none was, to Ford.',
    'Without a single race the interval of the odds of the shift takes in no change, or lies beyond it: Mill.',
  ]);
});
