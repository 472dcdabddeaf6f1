import { describe, expect, test } from 'vitest';
import { BibList } from '../../race/bib-list.ts';
import type { Sighting } from '../../records/record.ts';
import { timeOfDay } from '../../race/time-of-day.ts';
import { openCorrection } from '../../tally/correction-draft.ts';
import type { Repeat } from '../../tally/meant-step.ts';
import { EMPTY_ENTRY, nextBib, tallyStep, type TallyAction } from '../../tally/tally-entry.ts';
import { adviceInWords, adviceOnKey, fieldNote } from './field-note.ts';

const BIBS = new BibList(['1711', '1712', '88']);
const KEPT = { bib: '88', gait: 'run', left: 'rearfoot', right: 'midfoot' } as Sighting;

interface Around {
  bibs?: BibList;
  lastKept?: Sighting;
  seenBefore?: number;
  ruleWords?: string;
}

/** What stands in the field after these taps: digits, or the names of keys. */
function note(taps: string, { bibs = BIBS, lastKept, seenBefore, ruleWords = '' }: Around = {}) {
  const actions = taps.split(' ').flatMap((tap): TallyAction[] => {
    if (tap === 'lineUp' || tap === 'noBib') return [{ type: tap }];
    if (tap === 'left' || tap === 'right') return [{ type: 'feet', feet: tap, foot: 'midfoot', at: 0 }];
    return [...tap].map((character) => ({ type: 'character', character }));
  });
  const entry = actions.reduce((before, action) => tallyStep(before, action, bibs).entry, EMPTY_ENTRY);
  const tally = { bibs, candidates: [], correction: undefined, entry, lastKept, seenBefore, shownBib: nextBib(entry) };
  return fieldNote(tally, ruleWords, 100_000);
}

describe('the note in the large field', () => {
  test('says of a bib whether it is on the list, and of an unfinished one nothing yet', () => {
    expect(note('1711')).toEqual({ text: '✓ on the list', tone: 'good' });
    expect(note('171').text).toBe('');
    expect(note('172')).toEqual({ text: 'not on the list', tone: 'warn' });
    expect(note('172', { bibs: new BibList([]) }).text).toBe('');
  });

  test('a bib that is lined up or has its first foot is finished: cut short, it is on no list', () => {
    expect(note('171 lineUp').text).toBe('not on the list');
    expect(note('171 left').text).toBe('not on the list');
  });

  test('says which foot is still missing', () => {
    expect(note('1711 left').text).toBe('and the right foot');
    expect(note('1711 right').text).toBe('and the left foot');
    expect(note('noBib right').text).toBe('and the left foot');
    expect(note('5 left', { bibs: new BibList([]) }).text).toBe('and the right foot');
  });

  test('says how long ago the bib was tallied here', () => {
    expect(note('1711', { seenBefore: 58_000 })).toEqual({ text: 'seen 42 s ago', tone: 'warn' });
    expect(note('1711', { seenBefore: -80_000 }).text).toBe('seen 3 min ago');
  });

  test('says what was kept and what the rule asks for, but not beside the nobody who comes next', () => {
    expect(note('').text).toBe('bib or feet, in any order');
    expect(note('', { lastKept: KEPT }).text).toBe('✓ kept: 88, left rearfoot, right midfoot');
    expect(note('', { lastKept: KEPT, ruleWords: 'let 2 pass' }).text).toMatch(/^✓ kept: 88.*; let 2 pass$/);
    expect(note('', { ruleWords: 'let 2 pass' }).text).toBe('let 2 pass');
    expect(note('noBib', { lastKept: KEPT }).text).toBe('feet next; No bib again leaves it');
  });

  test('names the place where one was kept, and what was let pass', () => {
    const naming = { mirrored: false, placeOf: (id: string) => `km ${id}`, timeOf: () => '' };
    const kept = (more: Partial<Sighting>) =>
      fieldNote(
        {
          ...{ bibs: BIBS, candidates: [], correction: undefined, entry: EMPTY_ENTRY, seenBefore: undefined },
          ...{ lastKept: { ...KEPT, checkpoint: '5', ...more }, shownBib: undefined },
        },
        '',
        0,
        naming,
      ).text;
    expect(kept({})).toBe('✓ kept: 88, left rearfoot, right midfoot, km 5');
    expect(kept({ passed: true, bib: null })).toBe('✓ passed');
    expect(kept({ passed: true })).toBe('✓ passed: 88');
  });

  test('asks of a key that was tapped twice whether it was meant, in the order of the grid', () => {
    const tap = (at: number, foot: 'rearfoot' | 'midfoot') => ({ type: 'feet', feet: 'both', foot, at }) as const;
    const tally = { bibs: BIBS, candidates: [], correction: undefined, entry: EMPTY_ENTRY, lastKept: KEPT };
    const asked = (repeat: Repeat, repeatIsFor?: string) =>
      fieldNote({ ...tally, seenBefore: undefined, shownBib: undefined, repeat, repeatIsFor }, '', 0);
    const once = { taps: [tap(1, 'rearfoot')], ofRow: true, waiting: [] };
    expect(asked(once, '92')).toEqual({ text: 'R·R tapped twice. For 92 too?', tone: 'warn', feet: 'R·R' });
    expect(asked({ ...once, ofRow: false }).text).toBe('R·R tapped twice. For the next runner too?');
    const waiting = [{ tap: tap(3, 'midfoot'), repeated: false }];
    const twice = { taps: [tap(1, 'rearfoot'), tap(2, 'rearfoot')], ofRow: true, waiting };
    expect(asked(twice, '92').text).toBe('R·R tapped 3 times. For 92 too? M·M waits.');
  });

  test('of a correction it says little where candidates need the room', () => {
    const correction = openCorrection('a record', { ...KEPT, gait: 'run', checkpoint: 'early' });
    const tally = { bibs: BIBS, correction, entry: EMPTY_ENTRY, lastKept: KEPT, seenBefore: undefined, shownBib: '88' };
    const words = (candidates: string[]) => fieldNote({ ...tally, candidates }, '', 0);
    expect(words([])).toEqual({ text: 'Correcting. Save, or Undo to leave it.', tone: 'warn' });
    expect(words(['1711'])).toEqual({ text: 'then Save', tone: 'warn' });
  });

  test('asks whose feet they are when they came first', () => {
    const asked = { text: 'Whose feet? Bib, or No bib', tone: 'warn' };
    expect(note('left', { lastKept: KEPT })).toEqual({ ...asked, feet: 'left M' });
    expect(note('left right', { lastKept: KEPT })).toEqual({ ...asked, feet: 'M·M' });
  });
});

const clock = timeOfDay({ timeZone: 'Europe/London' }, 'short');

test('says that *Passed* in a row may be one too many, and what was left of an earlier line-up', () => {
  const tally = { bibs: BIBS, candidates: [], correction: undefined, entry: EMPTY_ENTRY, seenBefore: undefined };
  const lastKept = { ...KEPT, bib: null, passed: true } as Sighting;
  const empty = { ...tally, lastKept, shownBib: undefined };
  expect(fieldNote({ ...empty, passesInARow: 1 }, '', 0).text).toBe('✓ passed');
  expect(fieldNote({ ...empty, passesInARow: 3 }, '', 0)).toEqual({
    ...{ text: 'passed 3 in a row. One too many? Undo', tone: 'warn' },
  });
  expect(fieldNote({ ...empty, shownBib: '88', passesInARow: 2 }, '', 0).text).toBe(
    'passed 2 in a row. One too many? Undo',
  );
  const naming = { mirrored: false, placeOf: () => '', timeOf: clock };
  const left = { why: 'old', bibs: ['91', '92'], at: Date.UTC(2026, 9, 4, 8, 5) } as const;
  expect(fieldNote({ ...empty, left }, '', 0, naming).text).toBe('Too old to go on, from 09:05, dropped: 91, 92');
  expect(fieldNote({ ...empty, left: { ...left, why: 'elsewhere', bibs: [] } }, '', 0, naming).text).toBe(
    'Of another station, from 09:05, dropped: feet without a bib',
  );
});

test('the sampling rule in words and on its key', () => {
  const third = { kind: 'every', k: 3 } as const;
  expect(adviceInWords({ ...third, position: 1, classNext: false })).toBe('let 2 pass');
  expect(adviceInWords({ ...third, position: 3, classNext: true })).toBe('');
  expect(adviceOnKey({ ...third, position: 1, classNext: false }, clock)).toBe('1 of 3');
  const changesAt = Date.UTC(2026, 9, 4, 9, 5);
  expect(adviceOnKey({ kind: 'windows', classNext: true, changesAt }, clock)).toBe('class to 10:05');
  expect(adviceOnKey({ kind: 'windows', classNext: false, changesAt }, clock)).toBe('pause to 10:05');
  expect(adviceOnKey({ kind: 'everyone', classNext: true }, clock)).toBe('');
});
