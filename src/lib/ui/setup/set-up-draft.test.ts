import { describe, expect, it } from 'vitest';
import { DEMO_RACE } from '../../demo/demo-field.ts';
import { draftOf, questionsOfDraft, raceOfDraft, type SetUpDraft } from './set-up-draft.ts';

/** What is wrong with the invented race's form once `change` has been made in it. */
function faultsOf(change: (draft: SetUpDraft) => void): unknown {
  const draft = draftOf(DEMO_RACE);
  change(draft);
  const outcome = raceOfDraft(draft, DEMO_RACE);
  return 'faults' in outcome ? outcome.faults : {};
}

describe('raceOfDraft', () => {
  it('gives back the race that the form was made from', () => {
    const outcome = raceOfDraft(draftOf(DEMO_RACE), DEMO_RACE);
    expect(outcome).toEqual({ race: { ...DEMO_RACE, start: '2026-10-04T08:00:00.000Z' } });
  });

  it.each<[string, (draft: SetUpDraft) => void, Record<string, string>]>([
    [
      'a name that is too long',
      (draft) => (draft.name = 'x'.repeat(121)),
      { name: 'Expected at most 120 characters.' },
    ],
    [
      'an observer code that is too long',
      (draft) => (draft.observers[1]!.code = 'x'.repeat(33)),
      { 'observers.1.code': 'Expected at most 32 characters.' },
    ],
    [
      'a sampling rule out of range',
      (draft) => (draft.rule = { kind: 'every', k: 1 }),
      { rule: 'Expected at least 2.' },
    ],
    [
      'windows longer than their turn',
      (draft) => (draft.rule = { kind: 'windows', onMinutes: 10, everyMinutes: 10 }),
      { rule: 'Expected fewer minutes to be classed than a turn has.' },
    ],
    [
      'more checkpoints than a race can have, which no field shows',
      (draft) => {
        for (let i = 0; i < 100; i += 1) draft.checkpoints.push({ id: `c${i}`, name: `Post ${i}`, km: '1' });
      },
      { race: 'Checkpoints: expected at most 100 entries.' },
    ],
    [
      'an hour alone as the start',
      (draft) => (draft.startTime = '10'),
      { startTime: '10 may be an hour or minutes: write 10:00 for the hour.' },
    ],
    ['a blank name', (draft) => (draft.name = ' '), { name: 'A race needs a name.' }],
  ])('says in plain words: %s', (_, change, faults) => {
    expect(faultsOf(change)).toEqual(faults);
  });
});

describe('questionsOfDraft', () => {
  const asked = (change: (draft: SetUpDraft) => void) => {
    const draft = draftOf(DEMO_RACE);
    change(draft);
    return questionsOfDraft(draft);
  };

  it('asks nothing of a race as it should be', () => {
    expect(asked(() => undefined)).toEqual({});
  });

  it('asks about a checkpoint beyond the finish', () => {
    const questions = asked((draft) => {
      draft.km = '10';
      draft.checkpoints[0]!.km = '10,5';
      draft.checkpoints[1]!.km = '9';
    });
    expect(questions).toEqual({ 'checkpoints.0.km': 'Beyond the race’s 10 km?' });
  });

  it('asks whether codes that differ in capitals alone are one', () => {
    const questions = asked((draft) => {
      draft.observers = ['A', 'a', 'A', 'B'].map((code) => ({ code, checkpoint: '', side: '' }));
    });
    expect(Object.keys(questions)).toEqual(['observers.0.code', 'observers.1.code', 'observers.2.code']);
    expect(questions['observers.1.code']).toBe('The same as A? Write both alike, or change one.');
  });
});
