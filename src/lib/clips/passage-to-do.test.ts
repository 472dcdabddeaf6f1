import { expect, it } from 'vitest';
import { passageToDo, type PointedMark } from './passage-to-do.ts';

const mark = (event: PointedMark['event'], frame: number, foot: 'left' | 'right', pointed = false): PointedMark => ({
  ...{ foot, event, frame },
  points: pointed ? ['heel', 'toe'] : [],
});

it('counts steps, those with points, and contacts left open but the last', () => {
  const marks = [
    mark('contact', 10, 'left', true),
    mark('flat', 20, 'left', true),
    mark('toeoff', 70, 'left'),
    mark('contact', 90, 'right', true),
    mark('toeoff', 150, 'right'),
    mark('contact', 180, 'left'),
    mark('contact', 260, 'right'),
  ];
  expect(passageToDo(marks)).toEqual({ steps: 2, angled: 1, openContacts: 1 });
  expect(passageToDo(marks.slice(0, 6))).toEqual({ steps: 2, angled: 1, openContacts: 0 });
  expect(passageToDo([])).toEqual({ steps: 0, angled: 0, openContacts: 0 });
});
