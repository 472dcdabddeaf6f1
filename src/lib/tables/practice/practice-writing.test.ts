import { describe, expect, it } from 'vitest';
import {
  landingsOf,
  type ClipSession,
  type DrawnSession,
  type PracticeAnswer,
} from '../../practice/practice-session.ts';
import { scoreAnswers } from '../../practice/score-answers.ts';
import { readPractice } from './practice-csv.ts';
import { practiceCsv, practiceDictionary, practiceRunnersCsv, readClipKey } from './practice-writing.ts';
import { readRunnerAnswers } from './runner-answers-csv.ts';

const bytes = (lines: Iterable<string>) => new TextEncoder().encode([...lines].join(''));

const drawn = (id: string, seed: number): DrawnSession => ({
  ...{ id, seed, observer: '=K1', startedAt: 5, kind: 'training', items: 6, level: 4, mix: 'balanced' },
});
const given = (session: DrawnSession): PracticeAnswer[] =>
  landingsOf(session).map(({ item, class: name }, i) => ({
    ...{ session: session.id, position: i + 1, item, answer: name, responseMs: 800 + i, shownAt: 1e12, voided: 0 },
  }));

const clips: ClipSession = {
  ...{ id: 'c', observer: 'K2', startedAt: 9, kind: 'clips', set: 'Ford', rate: 1 },
  clips: [
    { item: 'a', keyLeft: 'rearfoot', keyRight: 'midfoot' },
    { item: 'b', keyLeft: 'forefoot', keyRight: null },
  ],
};
const clipAnswers: PracticeAnswer[] = [
  {
    ...{ session: 'c', position: 1, item: 'b', left: 'forefoot', right: 'rearfoot', responseMs: 9 },
    shownAt: 1,
    voided: 0,
  },
  {
    ...{ session: 'c', position: 2, item: 'a', left: 'rearfoot', right: 'unseen', responseMs: 8 },
    shownAt: 1,
    voided: 0,
  },
];

describe('practiceCsv', () => {
  it('reads back as answers and key, several sets in one table', () => {
    const sessions = [drawn('s1', 7), drawn('s2', 8)].map((session) => ({ session, answers: given(session) }));
    const read = readPractice(bytes(practiceCsv([...sessions, { session: clips, answers: clipAnswers }])), null);
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const { inputs, scores } = scoreAnswers(read.value.answers, read.value.key);
    expect(inputs).toEqual({ answers: 15, items: 15, excluded: { repeats: 0 } });
    expect(scores.map(({ observer, basis, shown, missing }) => [observer, basis, shown, missing])).toEqual([
      ['=K1', 'drawn', 6, 0],
      ['=K1', 'drawn', 6, 0],
      ['K2', 'clips', 3, 0],
    ]);
    expect(scores[0]!.agreement.share).toBe(1);
  });
});

describe('practiceRunnersCsv', () => {
  it('holds runners with a class for both feet, as the correction of shares reads them', () => {
    const lines = [...practiceRunnersCsv([{ session: clips, answers: clipAnswers }])];
    expect(lines).toEqual([
      'item,observer,key_left,key_right,left,right\r\n',
      'Ford/a,K2,rearfoot,midfoot,rearfoot,unseen\r\n',
    ]);
    expect(readRunnerAnswers(bytes(lines)).ok).toBe(true);
  });

  it('gives the answer that an observer gave first', () => {
    const later = { ...clips, id: 'd', startedAt: 99 };
    const changed = clipAnswers.map((one) => ({ ...one, session: 'd', left: 'midfoot' as const }));
    const lines = [
      ...practiceRunnersCsv([
        { session: later, answers: changed },
        { session: clips, answers: clipAnswers },
      ]),
    ];
    expect(lines).toHaveLength(2);
    expect(lines[1]).toContain('rearfoot,unseen');
  });
});

describe('readClipKey', () => {
  it('reads a class or none for each foot, and names what is wrong', () => {
    const read = readClipKey(bytes(['item,key_left,key_right\n', 'a,rearfoot,\n']));
    expect(read).toEqual({ ok: true, value: [{ item: 'a', keyLeft: 'rearfoot', keyRight: null }] });
    const wrong = readClipKey(bytes(['item,key_left,key_right\n', 'a,heel,\n', 'b,,\n', 'b,,\n']));
    expect(wrong.ok ? [] : wrong.error.faults.map(({ row, column }) => [row, column])).toEqual([
      [2, 'key_left'],
      [4, 'item'],
    ]);
  });
});

describe('practiceDictionary', () => {
  it('describes every column of both tables', () => {
    const text = JSON.stringify(practiceDictionary('2031-05-03T08:00:00.000Z'));
    for (const name of ['response_ms', 'voided', 'contact_ms', 'key_left']) expect(text).toContain(`"name":"${name}"`);
  });
});
