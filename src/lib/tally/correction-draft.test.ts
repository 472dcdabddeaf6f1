import { describe, expect, test } from 'vitest';
import { bibCandidates } from './bib-candidates.ts';
import { BibList } from '../race/bib-list.ts';
import {
  correctedFields,
  correctionActionOf,
  correctionStep,
  openCorrection,
  type CorrectionAction,
} from './correction-draft.ts';

const seen = { checkpoint: 'a', bib: '1734', gait: 'run', left: 'rearfoot', right: 'rearfoot' } as const;
const corrected = (...actions: CorrectionAction[]) =>
  correctedFields(actions.reduce(correctionStep, openCorrection('id', seen)));
const typed = (text: string): CorrectionAction[] => [...text].map((character) => ({ type: 'character', character }));

describe('a correction', () => {
  test('says nothing when nothing changed, also after going there and back', () => {
    expect(corrected()).toBeUndefined();
    expect(
      corrected({ type: 'feet', feet: 'left', foot: 'midfoot' }, { type: 'feet', feet: 'left', foot: 'rearfoot' }),
    ).toBeUndefined();
  });

  test('carries only what changed', () => {
    expect(corrected(...typed('1784'))).toEqual({ bib: '1784' });
    expect(corrected({ type: 'erase' }, ...typed('5'))).toEqual({ bib: '1735' });
    expect(corrected({ type: 'noBib' })).toEqual({ bib: null });
    expect(corrected({ type: 'checkpoint', id: 'b' })).toEqual({ checkpoint: 'b' });
    expect(corrected({ type: 'bib', bib: '88' })).toEqual({ bib: '88' });
    // One that was chosen as a whole is not gone on with.
    expect(corrected({ type: 'bib', bib: '88' }, ...typed('5'))).toEqual({ bib: '5' });
  });

  test('carries gait and both feet together', () => {
    expect(corrected({ type: 'feet', feet: 'right', foot: 'forefoot' })).toEqual({
      gait: 'run',
      left: 'rearfoot',
      right: 'forefoot',
    });
    expect(corrected({ type: 'walking' })).toEqual({ gait: 'walk', left: 'unseen', right: 'unseen' });
    expect(corrected({ type: 'walking' }, { type: 'feet', feet: 'left', foot: 'midfoot' })).toEqual({
      gait: 'run',
      left: 'midfoot',
      right: 'unseen',
    });
  });

  test('an erased bib is no bib', () => {
    expect(corrected(...Array.from({ length: 5 }, (): CorrectionAction => ({ type: 'erase' })))).toEqual({ bib: null });
  });
});

test('correctionActionOf takes for a correction what can be one, and nothing that is for the next runner', () => {
  const same = [
    { type: 'character', character: '7' },
    { type: 'erase' },
    { type: 'noBib' },
    { type: 'feet', feet: 'both', foot: 'midfoot', at: 0 },
    { type: 'walking', at: 0 },
    { type: 'checkpoint', id: 'b' },
  ] as const;
  for (const action of same) expect(correctionActionOf(action)).toEqual(action);
  expect(correctionActionOf({ type: 'candidate', bib: '88' })).toEqual({ type: 'bib', bib: '88' });
  for (const type of ['confirm', 'clear', 'lineUp'] as const) expect(correctionActionOf({ type })).toBeUndefined();
});

describe('bibCandidates', () => {
  const bibs = new BibList(['1734', '1735', '1739', '512', '8']);
  const nobody = () => false;

  test('offers what the typed digits may become, those not yet seen here first', () => {
    expect(bibCandidates('173', bibs, 2, nobody)).toEqual(['1734', '1735']);
    expect(bibCandidates('173', bibs, 2, (bib) => bib === '1734')).toEqual(['1735', '1739']);
    expect(bibCandidates('51', bibs, 2, (bib) => bib === '512')).toEqual(['512']);
  });

  test('offers look-alikes only for a bib that nobody wears and that begins none', () => {
    expect(bibCandidates('1784', bibs, 3, nobody)).toEqual(['1734']);
    expect(bibCandidates('512', bibs, 3, nobody)).toEqual([]);
    expect(bibCandidates('3', bibs, 3, nobody)).toEqual(['8']);
  });

  test('offers nothing without a start list or before the first digit', () => {
    expect(bibCandidates('', bibs, 3, nobody)).toEqual([]);
    expect(bibCandidates('1', new BibList([]), 3, nobody)).toEqual([]);
  });
});
