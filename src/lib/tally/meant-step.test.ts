import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BibList } from '../race/bib-list.ts';
import { FOOT_CLASSES, type FootClass } from '../records/foot.ts';
import { meantStep, NO_PROGRESS, REPEAT_MS, type ProgressAction, type TallyProgress } from './meant-step.ts';
import type { TalliedRunner } from './tally-entry.ts';

const LIST = new BibList(['91', '92', '93', '94', '95', '96', '195', '303']);

/** Plays taps at their times and keeps what comes out. */
class Kerb {
  progress: TallyProgress = NO_PROGRESS;
  readonly tallied: TalliedRunner[] = [];
  constructor(readonly bibs: BibList) {}

  tap(action: ProgressAction, at: number): void {
    const step = meantStep(this.progress, action, at, this.bibs);
    this.progress = step.progress;
    this.tallied.push(...step.tallied);
  }

  type(bib: string, at: number): void {
    [...bib].forEach((character, i) => this.tap({ type: 'character', character }, at + i * 200));
  }

  both(foot: FootClass, at: number): void {
    this.tap({ type: 'feet', feet: 'both', foot, at }, at);
  }

  lineUp(...bibs: string[]): void {
    for (const bib of bibs) {
      this.type(bib, -100_000);
      this.tap({ type: 'lineUp' }, -100_000);
    }
  }

  get short(): string[] {
    return this.tallied.map(({ bib, gait, left, right }) =>
      gait === 'walk' ? `${bib} walk` : `${bib ?? '-'} ${left[0]}${right[0]}`,
    );
  }
}

const at = (list: BibList = LIST) => new Kerb(list);

describe('a key that is tapped twice', () => {
  // Entered at a kerb by touch: 92F 93M 94R 195F 96M after a rearfoot key that bounced on 91.
  test.each([90, 120, 250, 400, 500])('%i ms after it completed a runner: nobody later is shifted', (gap) => {
    const kerb = at();
    const stream: [string, FootClass][] = [
      ['91', 'rearfoot'],
      ['92', 'forefoot'],
      ['93', 'midfoot'],
      ['94', 'rearfoot'],
      ['195', 'forefoot'],
      ['96', 'midfoot'],
    ];
    stream.forEach(([bib, foot], n) => {
      kerb.type(bib, n * 5000);
      kerb.both(foot, n * 5000 + 2000);
      if (n === 0) kerb.both(foot, 2000 + gap);
    });
    expect(kerb.short).toEqual(['91 rr', '92 ff', '93 mm', '94 rr', '195 ff', '96 mm']);
    expect(kerb.progress.repeat).toBeUndefined();
  });

  test('a bib never saves itself onto feet left over from a repeat; one tap says that they were meant', () => {
    const kerb = at();
    kerb.type('91', 0);
    kerb.both('rearfoot', 1000);
    kerb.both('rearfoot', 1300);
    kerb.type('92', 2000);
    expect(kerb.short).toEqual(['91 rr']);
    expect(kerb.progress).toMatchObject({ entry: { typed: '92' }, repeat: { ofRow: false } });
    kerb.tap({ type: 'confirm' }, 3000);
    expect(kerb.short).toEqual(['91 rr', '92 rr']);
  });

  test('two lined-up runners of one class 250 ms apart: neither is lost, one tap keeps both', () => {
    const kerb = at();
    kerb.lineUp('91', '92', '93');
    kerb.both('rearfoot', 0);
    kerb.both('rearfoot', 250);
    expect(kerb.short).toEqual(['91 rr']);
    kerb.both('forefoot', 1200);
    expect(kerb.short).toEqual(['91 rr']);
    kerb.tap({ type: 'meant' }, 2000);
    expect(kerb.short).toEqual(['91 rr', '92 rr', '93 ff']);
    expect(kerb.tallied.map((runner) => runner.observedAt)).toEqual([0, 250, 1200]);
  });

  test('a bounce with runners lined up: what was tapped since goes to whom it was meant for', () => {
    const kerb = at();
    kerb.lineUp('91', '92', '93');
    kerb.both('rearfoot', 0);
    kerb.both('rearfoot', 250);
    kerb.both('forefoot', 1200);
    kerb.tap({ type: 'notMeant' }, 2000);
    expect(kerb.short).toEqual(['91 rr', '92 ff']);
    expect(kerb.progress.entry.lined).toEqual(['93']);
  });

  test('*Passed* that repeats counts at once and is asked about, until another key or a rest', () => {
    const kerb = at();
    for (const time of [0, 90, 400, 900]) kerb.tap({ type: 'passed', at: time }, time);
    expect(kerb.tallied.map((runner) => runner.observedAt)).toEqual([0, 90, 400, 900]);
    expect(kerb.progress.passes).toEqual({ count: 4, at: 900 });
    kerb.tap({ type: 'passed', at: 900 + REPEAT_MS + 1 }, 900 + REPEAT_MS + 1);
    expect(kerb.progress.passes?.count).toBe(1);
    kerb.tap({ type: 'passed', at: 1600 }, 1600);
    kerb.type('91', 1700);
    expect(kerb.progress.passes).toBeUndefined();
  });

  test('later than that it is a statement', () => {
    const kerb = at();
    kerb.lineUp('91', '92');
    kerb.both('rearfoot', 0);
    kerb.both('rearfoot', REPEAT_MS + 1);
    expect(kerb.short).toEqual(['91 rr', '92 rr']);
  });

  test('a bib typed beside the question is tallied at once', () => {
    const kerb = at();
    kerb.lineUp('91', '92');
    kerb.both('rearfoot', 0);
    kerb.both('rearfoot', 200);
    kerb.type('95', 1000);
    kerb.both('midfoot', 2000);
    expect(kerb.short).toEqual(['91 rr', '95 mm']);
    kerb.tap({ type: 'meant' }, 3000);
    expect(kerb.short).toEqual(['91 rr', '95 mm', '92 rr']);
  });

  test('walking and no bib bounce too', () => {
    const walk = at();
    walk.lineUp('91', '92');
    walk.tap({ type: 'walking', at: 0 }, 0);
    walk.tap({ type: 'walking', at: 300 }, 300);
    expect(walk.short).toEqual(['91 walk']);

    const nobody = at();
    nobody.both('midfoot', 0);
    nobody.tap({ type: 'noBib' }, 500);
    nobody.tap({ type: 'noBib' }, 700);
    nobody.both('rearfoot', 3000);
    nobody.type('92', 4000);
    expect(nobody.short).toEqual(['- mm', '92 rr']);
  });

  test('the last digit of a bib that saved itself may be a bounce, or begin the next bib', () => {
    const list = new BibList(['1711', '1712', '303', '94']);
    const after = (bib: string) => {
      const kerb = at(list);
      kerb.both('midfoot', 0);
      kerb.type(bib, 500);
      const digit = bib.at(-1) ?? '';
      kerb.tap({ type: 'character', character: digit }, 500 + bib.length * 200);
      expect(kerb.progress.entry.typed).toBe(digit);
      return kerb;
    };
    const meant = after('1711');
    meant.type('712', 2000);
    meant.both('rearfoot', 4000);
    expect(meant.short).toEqual(['1711 mm', '1712 rr']);

    const bounced = after('1711');
    bounced.type('1712', 2000);
    bounced.both('rearfoot', 4000);
    expect(bounced.short).toEqual(['1711 mm', '1712 rr']);

    const feetFirst = after('303');
    feetFirst.both('rearfoot', 2000);
    feetFirst.type('94', 3000);
    expect(feetFirst.short).toEqual(['303 mm', '94 rr']);

    const other = after('303');
    other.type('94', 2000);
    other.both('forefoot', 3000);
    expect(other.short).toEqual(['303 mm', '94 ff']);
  });

  test('other keys in between make it a statement', () => {
    const kerb = at();
    kerb.type('91', 0);
    kerb.both('rearfoot', 1000);
    kerb.tap({ type: 'character', character: '9' }, 1100);
    kerb.tap({ type: 'character', character: '2' }, 1200);
    kerb.both('rearfoot', 1300);
    expect(kerb.short).toEqual(['91 rr', '92 rr']);
  });

  test('an answer to nothing changes nothing', () => {
    const kerb = at();
    kerb.type('91', 0);
    const before = kerb.progress;
    kerb.tap({ type: 'notMeant' }, 10);
    kerb.tap({ type: 'meant' }, 20);
    expect(kerb.progress).toEqual(before);
  });
});

/** One runner of an invented field: how they are tallied, how soon after the one before, and how the key bounces. */
interface Planned {
  foot: FootClass;
  lined: boolean;
  gap: number;
  bounces: number[];
}

const planned = fc.record<Planned>({
  foot: fc.constantFrom(...FOOT_CLASSES),
  lined: fc.boolean(),
  // Two runners alike 250 ms apart, and quicker than any thumb.
  gap: fc.integer({ min: 120, max: 2500 }),
  bounces: fc.oneof(
    { weight: 3, arbitrary: fc.constant<number[]>([]) },
    { weight: 2, arbitrary: fc.array(fc.integer({ min: 41, max: 500 }), { minLength: 1, maxLength: 2 }) },
  ),
});

interface Played {
  kerb: Kerb;
  truth: Map<string, string>;
  meantAt: Set<number>;
}

/** Whether the repeat in question was meant, as the one who tapped it knows. */
function answer({ kerb, meantAt }: Played, at: number): void {
  for (let { repeat } = kerb.progress; repeat; { repeat } = kerb.progress) {
    const meant = repeat.taps.filter((tap) => meantAt.has(tap.at)).length;
    kerb.tap({ type: meant ? 'meant' : 'notMeant' }, at);
    // The taps of one key say the same: which of them bounced does not matter.
    if (meant)
      forgetOne(
        meantAt,
        repeat.taps.map((tap) => tap.at),
      );
  }
}

function forgetOne(meantAt: Set<number>, taps: number[]): void {
  const one = taps.find((at) => meantAt.has(at));
  if (one !== undefined) meantAt.delete(one);
}

/** Plays a field; `answersAfter` says after which runners the open questions are answered. */
function play(field: Planned[], answersAfter: (n: number) => boolean): Played {
  const bibs = field.map((_, n) => String(1000 + n));
  const played: Played = { kerb: new Kerb(new BibList(bibs)), truth: new Map(), meantAt: new Set() };
  const { kerb, truth, meantAt } = played;
  kerb.lineUp(...bibs.filter((_, n) => field[n]?.lined));
  let now = 0;
  field.forEach(({ foot, lined, gap, bounces }, n) => {
    const bib = bibs[n] ?? '';
    if (!lined) {
      kerb.type(bib, (now += 700));
      now += 600;
    }
    now += gap;
    truth.set(bib, foot);
    meantAt.add(now);
    kerb.both(foot, now);
    for (const bounce of bounces) kerb.both(foot, (now += bounce));
    if (answersAfter(n)) answer(played, (now += 300));
  });
  return played;
}

const wrong = ({ kerb, truth }: Played) =>
  kerb.tallied.filter(({ bib, left, right }) => truth.get(bib ?? '') !== left || left !== right);

describe('random streams of taps with bounces', () => {
  test('answered whenever: every runner is kept once, as tapped', () => {
    fc.assert(
      fc.property(fc.array(planned, { maxLength: 25 }), fc.infiniteStream(fc.boolean()), (field, answers) => {
        const played = play(field, () => answers.next().value === true);
        answer(played, 1e9);
        expect(wrong(played)).toEqual([]);
        expect(played.kerb.tallied.map(({ bib }) => bib).toSorted()).toEqual([...played.truth.keys()]);
      }),
      { numRuns: 1000 },
    );
  });

  test('never answered: nothing wrong is kept, and who is missing is lined up beside an open question', () => {
    fc.assert(
      fc.property(fc.array(planned, { maxLength: 25 }), (field) => {
        const played = play(field, () => false);
        const { kerb, truth } = played;
        expect(wrong(played)).toEqual([]);
        const kept = new Set(kerb.tallied.map(({ bib }) => bib));
        expect(kept.size).toBe(kerb.tallied.length);
        const missing = [...truth.keys()].filter((bib) => !kept.has(bib));
        expect(kerb.progress.entry.lined).toEqual(missing);
        if (missing.length) expect(kerb.progress.repeat).toBeDefined();
      }),
      { numRuns: 1000 },
    );
  });
});

test('*Passed* at random: every tap is counted, and none that bounced goes unasked', () => {
  const pass = fc.record({
    rest: fc.integer({ min: 50, max: 5000 }),
    bounces: fc.array(fc.integer({ min: 40, max: 500 }), { maxLength: 2 }),
  });
  fc.assert(
    fc.property(fc.array(pass, { maxLength: 25 }), (passes) => {
      const kerb = at();
      let now = 0;
      const tap = () => kerb.tap({ type: 'passed', at: now }, now);
      for (const { rest, bounces } of passes) {
        now += rest;
        tap();
        for (const bounce of bounces) {
          now += bounce;
          tap();
          expect(kerb.progress.passes?.count).toBeGreaterThan(1);
        }
      }
      expect(kerb.tallied).toHaveLength(passes.reduce((sum, { bounces }) => sum + 1 + bounces.length, 0));
    }),
  );
});
