import { describe, expect, it } from 'vitest';
import type { ClipSession, PracticeAnswer } from '../../../practice/practice-session.ts';
import { practiceInUse, practiceSummary } from './practice-in-use.ts';

const session = (id: string, observer: string, keyLeft: 'rearfoot' | 'midfoot'): ClipSession => ({
  ...{ id, observer, startedAt: Number(id), kind: 'clips', set: 'Ford', rate: 1 },
  clips: [
    { item: 'a', keyLeft, keyRight: 'rearfoot' },
    { item: 'b', keyLeft: null, keyRight: 'rearfoot' },
  ],
});
const answers = (id: string): PracticeAnswer[] =>
  ['a', 'b'].map((item, i) => ({
    ...{ session: id, position: i + 1, item, left: 'midfoot', right: 'rearfoot', responseMs: 9, shownAt: 1, voided: 0 },
  }));
const kept = (id: string, observer: string, keyLeft: 'rearfoot' | 'midfoot' = 'rearfoot') => ({
  session: session(id, observer, keyLeft),
  answers: answers(id),
});
const file = {
  from: 'file' as const,
  name: 'practice-runners.csv',
  answers: [
    { item: 'x', observer: 'Z', keyLeft: 'midfoot', keyRight: 'midfoot', left: 'midfoot', right: 'unseen' } as const,
  ],
};

describe('practice answers of a race', () => {
  it('are those on the device where somebody who practised tallied', () => {
    const inUse = practiceInUse({ from: 'device' }, [kept('1', 'K'), kept('2', 'L')], ['K']);
    expect(inUse.answers).toEqual(
      ['K', 'L'].map((observer) => ({
        ...{ item: 'Ford/a', observer, keyLeft: 'rearfoot', keyRight: 'rearfoot', left: 'midfoot', right: 'rearfoot' },
      })),
    );
    expect(practiceSummary(inUse)).toEqual({
      ...{ from: 'device', file: null, answers: 2, items: 1, observers: ['K', 'L'], onDevice: 2 },
    });
  });

  it('are none where only strangers practised, or where they were taken out', () => {
    expect(practiceInUse({ from: 'device' }, [kept('1', 'K')], ['M'])).toMatchObject({ answers: null, onDevice: 0 });
    expect(practiceInUse({ from: 'none' }, [kept('1', 'K')], ['K'])).toMatchObject({ answers: null, onDevice: 1 });
  });

  it('are those of the file that was chosen', () => {
    expect(practiceInUse(file, [kept('1', 'K')], ['K'])).toEqual({
      ...{ from: 'file', file: 'practice-runners.csv', answers: file.answers, onDevice: 1 },
    });
  });

  it('keep the first key of a clip: no item has two', () => {
    const inUse = practiceInUse({ from: 'device' }, [kept('2', 'L', 'midfoot'), kept('1', 'K')], ['K']);
    expect(inUse.answers?.map(({ observer }) => observer)).toEqual(['K']);
  });
});
