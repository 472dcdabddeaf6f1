import { describe, expect, it } from 'vitest';
import type { MarkEvent, Side } from '../records/mark-words.ts';
import { mayMark, type StandingMark } from './may-mark.ts';

const seconds = (frame: number) => frame / 240;
const mark = (event: MarkEvent, frame: number, foot: Side = 'left'): StandingMark => ({ foot, event, frame });
const may = (one: StandingMark, ...marks: StandingMark[]) => mayMark(one, marks, seconds);

describe('what the screen lets mark', () => {
  it('takes a toe-off only after the contact of its own foot', () => {
    expect(may(mark('toeoff', 60))).toBe(false);
    expect(may(mark('toeoff', 60), mark('contact', 10, 'right'))).toBe(false);
    expect(may(mark('toeoff', 60), mark('contact', 10))).toBe(true);
    expect(may(mark('toeoff', 10), mark('contact', 10))).toBe(false);
    expect(may(mark('toeoff', 5), mark('contact', 10))).toBe(false);
    expect(may(mark('toeoff', 90), mark('contact', 10), mark('toeoff', 60))).toBe(false);
  });

  it('takes a foot once: two of an event within 0.3 s are one', () => {
    expect(may(mark('contact', 10), mark('contact', 10))).toBe(false);
    expect(may(mark('contact', 81), mark('contact', 10))).toBe(false);
    expect(may(mark('contact', 82), mark('contact', 10))).toBe(true);
    expect(may(mark('contact', 10), mark('contact', 60))).toBe(false);
    expect(may(mark('contact', 60), mark('contact', 10, 'right'))).toBe(true);
    expect(may(mark('toeoff', 50), mark('contact', 10), mark('toeoff', 60))).toBe(false);
  });

  it('takes a flat within a step', () => {
    expect(may(mark('flat', 20))).toBe(false);
    expect(may(mark('flat', 20), mark('contact', 10))).toBe(true);
    expect(may(mark('flat', 70), mark('contact', 10), mark('toeoff', 60))).toBe(false);
    expect(may(mark('flat', 20), mark('contact', 10), mark('flat', 20))).toBe(false);
  });
});
