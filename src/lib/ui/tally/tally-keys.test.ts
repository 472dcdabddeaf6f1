import { describe, expect, test } from 'vitest';
import { columnFeet, commandAction, tallyCommand } from './tally-keys.ts';

const key = (code: string, character = '', held: Partial<KeyboardEvent> = {}) =>
  tallyCommand({ key: character, code, shiftKey: false, ctrlKey: false, metaKey: false, altKey: false, ...held });

describe('keys of the Tally screen', () => {
  test('go by place on the keyboard, not by letter', () => {
    // The same place on a French keyboard carries another letter.
    expect(key('KeyQ', 'a')).toEqual({ type: 'column', column: 0, foot: 'forefoot' });
    expect(key('KeyS', 's')).toEqual({ type: 'column', column: 1, foot: 'midfoot' });
    expect(key('KeyV', 'v')).toEqual({ type: 'column', column: 2, foot: 'unseen' });
  });

  test('mirror with the screen', () => {
    expect([0, 1, 2].map((column) => columnFeet(column as 0 | 1 | 2, false))).toEqual(['left', 'both', 'right']);
    expect([0, 1, 2].map((column) => columnFeet(column as 0 | 1 | 2, true))).toEqual(['right', 'both', 'left']);
    expect(commandAction({ type: 'column', column: 0, foot: 'midfoot' }, true, 7)).toEqual({
      type: 'feet',
      feet: 'right',
      foot: 'midfoot',
      at: 7,
    });
  });

  test('take digits from either block, and letters of a bib with Shift', () => {
    expect(key('Digit4', '4')).toEqual({ type: 'character', character: '4' });
    expect(key('Numpad4', '4')).toEqual({ type: 'character', character: '4' });
    expect(key('KeyA', 'A', { shiftKey: true })).toEqual({ type: 'character', character: 'A' });
    expect(key('Digit2', '"', { shiftKey: true })).toEqual({ type: 'openLast', index: 1 });
  });

  test("leave the browser's own keys alone", () => {
    expect(key('KeyR', 'r', { ctrlKey: true })).toBeUndefined();
    expect(key('KeyZ', 'z', { metaKey: true })).toEqual({ type: 'undo' });
    expect(key('Tab', 'Tab')).toBeUndefined();
    expect(key('F5', 'F5')).toBeUndefined();
  });
});
