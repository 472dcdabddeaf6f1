import type { Foot } from '../../records/foot.ts';
import type { Feet, TallyAction } from '../../tally/tally-entry.ts';

/** What a key of a keyboard asks of the Tally screen. */
export type TallyCommand =
  | { readonly type: 'character'; readonly character: string }
  | { readonly type: 'column'; readonly column: 0 | 1 | 2; readonly foot: Foot }
  | { readonly type: 'openLast'; readonly index: number }
  | { readonly type: 'candidate' | 'pickLined'; readonly index: number }
  | {
      readonly type:
        'walking' | 'passed' | 'noBib' | 'erase' | 'clear' | 'confirm' | 'undo' | 'redo' | 'help' | 'dropFirst';
    };

type KeyPress = Pick<KeyboardEvent, 'key' | 'code' | 'shiftKey' | 'ctrlKey' | 'metaKey' | 'altKey'>;

/**
 * Three keys a column, in the places the cells have on the screen: the left hand lies on the foot grid, the right hand on
 * the digits. Places, not letters, so that any keyboard layout works.
 */
const GRID: Readonly<Record<string, readonly [column: 0 | 1 | 2, foot: Foot]>> = {
  KeyQ: [0, 'forefoot'],
  KeyW: [1, 'forefoot'],
  KeyE: [2, 'forefoot'],
  KeyA: [0, 'midfoot'],
  KeyS: [1, 'midfoot'],
  KeyD: [2, 'midfoot'],
  KeyZ: [0, 'rearfoot'],
  KeyX: [1, 'rearfoot'],
  KeyC: [2, 'rearfoot'],
  KeyR: [0, 'unseen'],
  KeyF: [1, 'unseen'],
  KeyV: [2, 'unseen'],
};

const PLACES: Readonly<Record<string, TallyCommand>> = {
  KeyT: { type: 'walking' },
  KeyG: { type: 'noBib' },
  KeyB: { type: 'passed' },
  Backspace: { type: 'erase' },
  Escape: { type: 'clear' },
  Enter: { type: 'confirm' },
  NumpadEnter: { type: 'confirm' },
  Space: { type: 'confirm' },
  KeyU: { type: 'undo' },
  Delete: { type: 'dropFirst' },
};

/** The command of a key press, `undefined` for a key that means nothing here or belongs to the browser. */
export function tallyCommand(press: KeyPress): TallyCommand | undefined {
  const { key, code } = press;
  if (press.metaKey || press.ctrlKey) {
    if (code === 'KeyZ') return { type: press.shiftKey ? 'redo' : 'undo' };
    return code === 'KeyY' ? { type: 'redo' } : undefined;
  }
  const place = /^Digit([1-5])$/.exec(code)?.[1];
  if (press.altKey) {
    return place && Number(place) <= 3 ? { type: 'candidate', index: Number(place) - 1 } : undefined;
  }
  if (press.shiftKey && place) return { type: 'openLast', index: Number(place) - 1 };
  if (key === '?') return { type: 'help' };
  if (/^[0-9]$/.test(key)) return { type: 'character', character: key };
  // The letters lie on the foot grid, so a bib's letter comes with Shift.
  if (press.shiftKey && /^\p{L}$/u.test(key)) return { type: 'character', character: key };
  const arrow = /^Arrow(Left|Right)$/.exec(code)?.[1];
  if (arrow) return { type: 'pickLined', index: 1 };
  const cell = GRID[code];
  if (cell) return { type: 'column', column: cell[0], foot: cell[1] };
  if (PLACES[code]) return PLACES[code];
  return /^[-./]$/.test(key) ? { type: 'character', character: key } : undefined;
}

/** Which feet a column of the grid stands for. */
export function columnFeet(column: 0 | 1 | 2, mirrored: boolean): Feet {
  if (column === 1) return 'both';
  return (column === 0) === mirrored ? 'right' : 'left';
}

/** The commands that are plain actions of the entry; the screen itself answers the others. */
export function commandAction(command: TallyCommand, mirrored: boolean, at: number): TallyAction | undefined {
  switch (command.type) {
    case 'column':
      return { type: 'feet', feet: columnFeet(command.column, mirrored), foot: command.foot, at };
    case 'walking':
    case 'passed':
      return { type: command.type, at };
    case 'noBib':
    case 'erase':
    case 'clear':
    case 'confirm':
      return { type: command.type };
    case 'pickLined':
      return { type: 'pick', index: command.index };
    case 'dropFirst':
      return { type: 'drop', index: 0 };
    default:
      return undefined;
  }
}
