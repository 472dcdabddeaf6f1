import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BibList } from '../race/bib-list.ts';
import { FOOT_VALUES } from '../records/foot.ts';
import {
  EMPTY_ENTRY,
  hasBegun,
  nextBib,
  tallyStep,
  type TalliedRunner,
  type TallyAction,
  type TallyEntry,
} from './tally-entry.ts';

const LIST = new BibList(['1734', '1735', '1739', '512', '88', '5', 'A7']);
const NO_LIST = new BibList([]);

/** Actions as short words: digits are typed, `RR@5` is both feet rearfoot at 5 ms, `L:F@9` the left forefoot. */
function actions(words: string): TallyAction[] {
  const feet = { R: 'rearfoot', M: 'midfoot', F: 'forefoot', U: 'unseen' } as const;
  return words.split(' ').flatMap((word): TallyAction[] => {
    const at = Number(word.split('@')[1] ?? 0);
    const both = /^([RMFU])\1(@|$)/.exec(word);
    if (both) return [{ type: 'feet', feet: 'both', foot: feet[both[1] as keyof typeof feet], at }];
    const one = /^([LR]):([RMFU])/.exec(word);
    if (one) {
      const side = one[1] === 'L' ? 'left' : 'right';
      return [{ type: 'feet', feet: side, foot: feet[one[2] as keyof typeof feet], at }];
    }
    if (word.startsWith('walking')) return [{ type: 'walking', at }];
    if (word.startsWith('passed')) return [{ type: 'passed', at }];
    if (word.startsWith('pick')) return [{ type: 'pick', index: Number(word.slice(4)) }];
    if (word.startsWith('drop')) return [{ type: 'drop', index: Number(word.slice(4)) }];
    if (word.startsWith('chip')) return [{ type: 'candidate', bib: word.slice(4) }];
    if (word.startsWith('km')) return [{ type: 'checkpoint', id: word.slice(2) }];
    if (/^\d+$/.test(word)) return [...word].map((character) => ({ type: 'character', character }));
    return [{ type: word as 'erase' | 'clear' | 'noBib' | 'lineUp' | 'confirm' }];
  });
}

function play(words: string, list = LIST): { entry: TallyEntry; tallied: TalliedRunner[] } {
  let entry = EMPTY_ENTRY;
  const tallied: TalliedRunner[] = [];
  for (const action of actions(words)) {
    const step = tallyStep(entry, action, list);
    entry = step.entry;
    tallied.push(...step.tallied);
  }
  return { entry, tallied };
}

const short = (words: string, list = LIST) =>
  play(words, list).tallied.map((r) => `${r.bib ?? '-'} ${r.gait === 'walk' ? 'walk' : `${r.left[0]}${r.right[0]}`}`);

describe('a runner is complete', () => {
  test.each([
    ['bib, then both feet in one tap', '1734 RR', ['1734 rr']],
    ['bib, then each foot', '1734 L:R R:M', ['1734 rm']],
    ['each foot, then the bib, which begins no other', 'R:M L:R 1734', ['1734 rm']],
    ['one foot before the bib and one after', 'L:R 1734 R:M', ['1734 rm']],
    ['a bib that is no start list: the confirm key takes it', 'FF 999 confirm', ['999 ff']],
    ['a bib that begins another waits for the confirm key', 'FF 5 confirm', ['5 ff']],
    ['no bib, before or after the feet', 'noBib MM RR noBib', ['- mm', '- rr']],
    ['not seen stands like a class', '88 UU 512 L:U R:F', ['88 uu', '512 uf']],
    ['walking in one tap', '1734 walking walking 512', ['1734 walk', '512 walk']],
    [
      'the first of the row takes the next feet',
      '1734 lineUp 512 lineUp 88 lineUp RR MM FF',
      ['1734 rr', '512 mm', '88 ff'],
    ],
    ['a tap on another of the row makes it first', '1734 lineUp 512 lineUp pick1 RR MM', ['512 rr', '1734 mm']],
    ['what is being typed comes before the row', '1734 lineUp 88 RR MM', ['88 rr', '1734 mm']],
    [
      'a lined-up bib that is tapped takes the feet that wait',
      'RR 1734 1739 lineUp MM 5 pick0',
      ['1734 rr', '1739 mm'],
    ],
    ['a chip takes the feet that wait', 'RR 17 chip1739', ['1739 rr']],
    ['a chip is the bib of the next feet', '17 chip1739 RR', ['1739 rr']],
  ])('%s', (_, words, expected) => {
    expect(short(words)).toEqual(expected);
  });

  test('never before it has a bib, or no bib, and both feet', () => {
    for (const words of ['1734', 'RR', '1734 L:R', 'L:R R:R', 'walking', 'noBib', 'noBib L:M', 'RR 5', 'RR 173']) {
      expect(short(words), words).toEqual([]);
    }
    // Without a start list no bib takes itself.
    expect(short('RR 1734', NO_LIST)).toEqual([]);
  });
});

describe('while a runner is under way', () => {
  test('the moment is that of the first foot, whatever comes later', () => {
    expect(play('L:R@100 L:M@200 R:M@300 1734').tallied[0]).toMatchObject({ observedAt: 100, left: 'midfoot' });
    expect(play('1734 walking@70').tallied[0]?.observedAt).toBe(70);
  });

  test('the large field names the runner whose feet come next', () => {
    expect(nextBib(play('1734 lineUp 51').entry)).toBe('51');
    expect(nextBib(play('1734 lineUp').entry)).toBe('1734');
    expect(nextBib(play('1734 L:R 51').entry)).toBe('1734');
    expect(nextBib(play('noBib').entry)).toBeNull();
    expect(nextBib(EMPTY_ENTRY)).toBeUndefined();
  });

  test('digits after one foot belong to the next runner', () => {
    expect(short('1734 L:R 512 R:M FF')).toEqual(['1734 rm', '512 ff']);
  });

  test('a forgotten confirm key costs no runner', () => {
    expect(short('RR 5 MM 88')).toEqual(['5 rr', '88 mm']);
    // The next feet find a lined-up bib of their own.
    expect(short('1734 lineUp 88 lineUp noBib FF RR 512 lineUp')).toEqual(['- ff', '1734 rr']);
  });

  test('feet tapped again before there is a bib replace each other', () => {
    expect(short('RR MM 1734')).toEqual(['1734 mm']);
    expect(short('walking L:R R:F 1734')).toEqual(['1734 rf']);
    expect(short('RR walking 1734')).toEqual(['1734 walk']);
  });

  test('passed, not classed takes the typed bib and leaves row and waiting feet alone', () => {
    expect(short('passed')).toEqual(['- uu']);
    expect(short('512 passed')).toEqual(['512 uu']);
    expect(short('512 lineUp passed RR')).toEqual(['- uu', '512 rr']);
    expect(short('RR passed 1734')).toEqual(['- uu', '1734 rr']);
  });

  test('erase goes back step by step', () => {
    expect(short('17344 erase RR')).toEqual(['1734 rr']);
    expect(play('1734 L:R erase').entry).toMatchObject({ typed: '1734', bib: undefined, left: 'rearfoot' });
    expect(short('1735 L:R erase erase 4 R:M')).toEqual(['1734 rm']);
    expect(play('L:R erase').entry).toEqual(EMPTY_ENTRY);
    expect(play('noBib erase').entry).toEqual(EMPTY_ENTRY);
    expect(play('88 lineUp 12 L:R clear').entry).toEqual({ ...EMPTY_ENTRY, lined: ['88'] });
  });

  test('typing after a chip lines the chip up', () => {
    expect(play('17 chip1734 512').entry).toMatchObject({ typed: '512', lined: ['1734'] });
    expect(short('17 chip1734 512 RR MM')).toEqual(['512 rr', '1734 mm']);
  });

  test('a bib stands once in the row; its cross drops it', () => {
    expect(play('88 lineUp 512 lineUp 88 lineUp').entry.lined).toEqual(['512', '88']);
    expect(play('88 lineUp 512 lineUp drop0').entry.lined).toEqual(['512']);
  });

  test('tapping the row while typing swaps, and loses nothing', () => {
    expect(play('88 lineUp 51 pick0').entry).toMatchObject({ typed: '88', lined: ['51'] });
    expect(play('88 lineUp 51 lineUp 51 pick0').entry).toMatchObject({ typed: '88', lined: ['51'] });
  });

  test('a bib may be typed or chosen after *no bib*', () => {
    expect(short('noBib 88 RR')).toEqual(['88 rr']);
    expect(short('noBib chip512 RR')).toEqual(['512 rr']);
    expect(short('88 lineUp noBib pick0 RR')).toEqual(['88 rr']);
  });

  test('a checkpoint chosen by hand is for one runner', () => {
    expect(play('kmb 88 RR 512 RR').tallied.map((r) => r.checkpoint)).toEqual(['b', undefined]);
  });

  test('a bib cannot grow past what a record holds', () => {
    expect(play('1'.repeat(30)).entry.typed).toHaveLength(16);
  });
});

const anyAction: fc.Arbitrary<TallyAction> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.constantFrom(...'0123457889').map((character) => ({ type: 'character' as const, character })),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      type: fc.constant('feet' as const),
      feet: fc.constantFrom('left' as const, 'both' as const, 'right' as const),
      foot: fc.constantFrom(...FOOT_VALUES),
      at: fc.constant(0),
    }),
  },
  fc.record({ type: fc.constantFrom('walking' as const, 'passed' as const), at: fc.constant(0) }),
  fc.constantFrom('erase', 'clear', 'noBib', 'lineUp', 'confirm').map((type) => ({ type }) as TallyAction),
  fc.record({ type: fc.constantFrom('pick' as const, 'drop' as const), index: fc.nat({ max: 3 }) }),
  fc.constantFrom('1734', '512', '88').map((bib) => ({ type: 'candidate' as const, bib })),
);

describe('whatever is tapped in whatever order', () => {
  const timed = fc
    .array(anyAction, { maxLength: 60 })
    .map((list) => list.map((action, i) => ('at' in action ? { ...action, at: i + 1 } : action)));

  test('every runner that comes out is whole, and what stays is consistent', () => {
    fc.assert(
      fc.property(timed, (list) => {
        let entry = EMPTY_ENTRY;
        for (const [i, action] of list.entries()) {
          const step = tallyStep(entry, action, LIST);
          for (const runner of step.tallied) {
            expect(runner.bib === null || (runner.bib.length > 0 && runner.bib.length <= 16)).toBe(true);
            expect(runner.gait === 'run' || (runner.left === 'unseen' && runner.right === 'unseen')).toBe(true);
            expect(runner.observedAt).toBeGreaterThan(0);
            expect(runner.observedAt).toBeLessThanOrEqual(i + 1);
          }
          entry = step.entry;
          expect(hasBegun(entry)).toBe(entry.left !== undefined || entry.right !== undefined);
          expect(entry.bib === undefined || entry.left === undefined || entry.right === undefined).toBe(true);
          expect(new Set(entry.lined).size).toBe(entry.lined.length);
        }
      }),
      { numRuns: 500 },
    );
  });

  test('no foot is lost: each tap ends in a record, waits, or was replaced or erased on purpose', () => {
    fc.assert(
      fc.property(timed, (list) => {
        let entry = EMPTY_ENTRY;
        for (const action of list) {
          const step = tallyStep(entry, action, LIST);
          const forgets = action.type === 'erase' || action.type === 'clear';
          if (hasBegun(entry) && !forgets) {
            const kept = hasBegun(step.entry) && step.entry.begunAt === entry.begunAt;
            const recorded = step.tallied.some((runner) => runner.observedAt === entry.begunAt);
            expect(kept || recorded).toBe(true);
          }
          if (action.type === 'feet' || action.type === 'walking') {
            expect(hasBegun(step.entry) || step.tallied.length > 0).toBe(true);
          }
          entry = step.entry;
        }
      }),
      { numRuns: 500 },
    );
  });

  test('no lined-up bib is lost: it stays, is typed over it, taken, dropped or in a record', () => {
    fc.assert(
      fc.property(timed, (list) => {
        let entry = EMPTY_ENTRY;
        for (const action of list) {
          const step = tallyStep(entry, action, LIST);
          if (action.type !== 'drop') {
            const present = new Set([...step.entry.lined, step.entry.typed, step.entry.bib]);
            for (const runner of step.tallied) present.add(runner.bib);
            expect(entry.lined.every((bib) => present.has(bib))).toBe(true);
          }
          entry = step.entry;
        }
      }),
      { numRuns: 500 },
    );
  });
});
