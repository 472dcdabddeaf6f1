import { describe, expect, it } from 'vitest';
import type { Passage, PassageMark } from '../../clips/passage.ts';
import { LIMITED_FIGURES, PLAUSIBLE, type LimitedFigure } from '../../clips/plausible-limits.ts';
import type { Gait } from '../../records/foot.ts';
import { EMPTY_CHECK_INPUT } from '../input/check-input.ts';
import { checkRace } from '../check-race.ts';
import type { Doubt } from '../doubt.ts';
import { doubtKnown, doubtTitle } from '../doubt-words.ts';
import { findClipFigures } from './find-clip-figures.ts';

const US = 1e6;
const FPS = 240;

interface Gone {
  readonly gait?: Gait;
  /** Seconds. */
  readonly contact?: number;
  readonly step?: number;
  /** Contact time of all steps but the first. */
  readonly others?: number;
  /** How much longer every second step takes and touches. */
  readonly limp?: number;
  readonly bib?: string | null;
  readonly fps?: number;
  readonly steps?: number;
  /** Degrees, of the first contact. */
  readonly strike?: number;
  readonly shank?: number;
}

let made = 0;
const mark = (event: PassageMark['event'], foot: PassageMark['foot'], seconds: number, fps = FPS): PassageMark => {
  made += 1;
  return {
    ...{ id: `m${String(made).padStart(6, '0')}`, event, foot, frame: Math.round(seconds * fps), doubtful: false },
    // The limits are reached to the microsecond, whatever the frames.
    ...{ recordedUs: Math.round(seconds * US), gapSeconds: 1 / fps, madeAtMs: made, points: {} },
  };
};

/** Two points a thousand pixels apart, so that tenths of a pixel do not matter. */
const at = (degrees: number) => ({
  x: Math.round(10_000 * Math.cos((degrees * Math.PI) / 180)),
  y: Math.round(10_000 * Math.sin((degrees * Math.PI) / 180)),
});

/** One runner's way through the clip at an even pace, marked without a fault. */
function passage(gone: Gone = {}): Passage {
  const { gait = 'run', fps = FPS, steps = 4, bib = '7' } = gone;
  const { contact = gait === 'run' ? 0.25 : 0.65, step = gait === 'run' ? 0.375 : 0.55 } = gone;
  const { others = contact, limp = 0 } = gone;
  const marks = Array.from({ length: steps }, (_, i) => {
    const foot = i % 2 === 0 ? 'right' : 'left';
    const start = i * step + Math.floor(i / 2) * limp;
    const touch = (i > 0 ? others : contact) + (i % 2) * limp;
    return [mark('contact', foot, start, fps), mark('toeoff', foot, start + touch, fps)] as const;
  }).flat();
  if (gone.strike !== undefined) {
    const { x, y } = at(gone.strike);
    marks[0] = { ...marks[0]!, points: { heel: { x: 0, y }, toe: { x, y: 0 } } };
    marks.push({ ...mark('flat', 'right', 0.05), points: { heel: { x: 0, y: 0 }, toe: { x: 10_000, y: 0 } } });
  }
  if (gone.shank !== undefined) {
    const { x, y } = at(90 - gone.shank);
    marks[0] = { ...marks[0]!, points: { knee: { x: 0, y: 0 }, ankle: { x, y } } };
  }
  made += 1;
  return {
    ...{ id: `p${made}`, clip: 'c', checkpoint: 'Weir', observer: 'A', sightingId: `s${made}`, bib, gait, marks },
    ...{ direction: 'right', nearFoot: 'right', fpsRecorded: fps, levelDegrees: 0, lensOffDegrees: 0 },
  };
}

const input = (...passages: Passage[]) => ({
  ...EMPTY_CHECK_INPUT,
  checkpoints: [{ id: 'w', name: 'Weir', km: 4 }],
  passages: { checkpoints: [{ name: 'Weir', km: 4 }], passages, metAgain: new Map(), outside: new Map() },
});
const find = (...passages: Passage[]) => findClipFigures(input(...passages));
const types = (doubts: readonly Doubt[]) => doubts.map(({ facts }) => facts.type);

/** The figures found outside, whatever else is. */
function outside(gone: Gone): LimitedFigure[] {
  return find(passage(gone)).flatMap(({ facts }) =>
    (facts.type === 'implausible' ? facts.outside : []).map((o) => o.name),
  );
}

it('has no doubt of a runner or a walker well inside the limits', () => {
  expect(find(passage(), passage({ gait: 'walk', bib: '8' }), passage({ strike: 12, bib: '9' }))).toEqual([]);
  expect(findClipFigures(EMPTY_CHECK_INPUT)).toEqual([]);
});

// All ends are common practice, no source. Each is met by marks that lie just on it and just beyond.
describe('limits', () => {
  it.each<[LimitedFigure, Gone, Gone]>([
    ['contact', { contact: 0.12, step: 0.28 }, { contact: 0.1199, step: 0.28 }],
    ['contact', { contact: 0.45, step: 0.46 }, { contact: 0.4501, step: 0.46 }],
    ['flight', { contact: 0.25, step: 0.5 }, { contact: 0.2499, step: 0.5 }],
    ['duty', { contact: 0.16, step: 0.4 }, { contact: 0.1599, step: 0.4 }],
    ['duty', { contact: 0.4, others: 0.38, step: 0.4 }, { contact: 0.4001, others: 0.38, step: 0.4 }],
    ['strikeAngle', { strike: -24.9 }, { strike: -25.1 }],
    ['strikeAngle', { strike: 39.9 }, { strike: 40.1 }],
    ['shankAngle', { shank: -14.9 }, { shank: -15.1 }],
    ['shankAngle', { shank: 29.9 }, { shank: 30.1 }],
    ['contact', { gait: 'walk', contact: 0.4, step: 0.4 }, { gait: 'walk', contact: 0.3999, step: 0.4 }],
    ['contact', { gait: 'walk', contact: 1.1, step: 0.8 }, { gait: 'walk', contact: 1.1001, step: 0.8 }],
    [
      'duty',
      { gait: 'walk', contact: 0.5, step: 0.4, limp: 0.2 },
      { gait: 'walk', contact: 0.4999, step: 0.4, limp: 0.2 },
    ],
    ['duty', { gait: 'walk', contact: 0.75, step: 0.5 }, { gait: 'walk', contact: 0.7501, step: 0.5 }],
  ])('%s: %j passes, %j is a doubt', (figure, on, beyond) => {
    expect(outside(on)).not.toContain(figure);
    expect(outside(beyond)).toContain(figure);
  });

  it.each<[Gait, number, number]>([
    ['run', 60 / 120, 60 / 110],
    ['run', 60 / 240, 60 / 250],
    ['walk', 60 / 70.001, 60 / 69],
    ['walk', 60 / 150, 60 / 151],
  ])('cadence, %s: %f s a step passes, %f s is a doubt where no other rate mends it', (gait, on, beyond) => {
    // Of several in a clip one alone is outside: the median stands, and the rate is no question.
    const others = [1, 2, 3].map((n) => passage({ gait, bib: `10${n}` }));
    const ofOne = (step: number) =>
      find(...others, passage({ gait, step, contact: gait === 'run' ? step * 0.6 : step * 1.2 })).flatMap(
        ({ facts }) => (facts.type === 'implausible' ? facts.outside.map(({ name }) => name) : []),
      );
    expect(ofOne(on)).toEqual([]);
    expect(ofOne(beyond)).toContain('cadence');
  });

  it('holds walkers to no angle and to no flight time, and names every figure that has limits', () => {
    expect(outside({ gait: 'walk', strike: 60 })).toEqual([]);
    expect(Object.keys(PLAUSIBLE.run).toSorted()).toEqual([...LIMITED_FIGURES].toSorted());
  });

  it('gives one doubt for a passage, with its sighting and the marks, and says each figure', () => {
    const own = passage({ contact: 0.1, step: 0.28, steps: 2 });
    const [doubt, ...more] = find(own);
    expect(more).toEqual([]);
    expect(doubt).toMatchObject({ kind: 'clip', bib: '7', checkpoint: 0, proposal: null });
    expect(doubt!.records).toEqual([own.sightingId, ...own.marks.map(({ id }) => id)]);
    const said = doubtKnown(doubt!, { checkpoints: [], clock: String });
    expect(said).toContain('Contact time is 0.100 s in 2 steps; usual for running is 0.12 to 0.45 s.');
    expect(doubtTitle(doubt!)).toBe('2 clip figures of 7 are unusual');
  });

  it('uses no doubtful mark and no passage without a bib', () => {
    const own = passage({ contact: 0.1, step: 0.28, steps: 2 });
    expect(find({ ...own, marks: own.marks.map((one) => ({ ...one, doubtful: true })) })).toEqual([]);
    expect(find({ ...own, bib: null })).toEqual([]);
  });
});

describe('gait', () => {
  it('doubts a run with both feet down in every step, once', () => {
    const [doubt, ...more] = find(passage({ contact: 0.39, step: 0.38 }));
    expect(doubt!.facts).toEqual({ type: 'gait', gait: 'run', odd: 3, of: 3 });
    expect(doubtTitle(doubt!)).toBe('7 runs, yet never leaves the ground');
    // The duty factor is above 0.5 then, and no doubt of its own.
    expect(types(more)).toEqual([]);
  });

  it('takes both feet down in some steps of a run for a flight time outside', () => {
    const own = passage();
    const marks = own.marks.map((one, i) => (i === 1 ? { ...one, recordedUs: 380_000, frame: 91 } : one));
    const [doubt] = find({ ...own, marks });
    expect(doubt!.facts).toMatchObject({
      type: 'implausible',
      outside: [{ name: 'flight', count: 1 }, { name: 'duty' }],
    });
  });

  it('doubts a walk with flight', () => {
    const doubts = find(passage({ gait: 'walk', contact: 0.5, step: 0.51 }));
    expect(doubts.map(({ facts }) => facts)).toContainEqual({ type: 'gait', gait: 'walk', odd: 3, of: 3 });
    expect(types(find(passage({ gait: 'walk', contact: 0.5, step: 0.5 })))).not.toContain('gait');
  });
});

describe('recorded rate', () => {
  /** The same passage when the camera's 240 frames/s were written down as `fps`. */
  const misread = (own: Passage, fps: number): Passage => ({
    ...own,
    fpsRecorded: fps,
    marks: own.marks.map((one) => ({
      ...one,
      recordedUs: Math.round((one.recordedUs * FPS) / fps),
      gapSeconds: 1 / fps,
    })),
  });

  it.each([30, 60, 120, 480, 960])('asks once when 240 frames/s were taken for %i', (fps) => {
    const doubts = find(...['7', '8', '9'].map((bib) => misread(passage({ bib }), fps)));
    expect(types(doubts)).toEqual(['rate']);
    const [{ facts, bib }] = doubts as [Doubt];
    expect(bib).toBeNull();
    // 0.375 s a step is 160 steps a minute.
    expect(facts).toMatchObject({ fps, likelyFps: FPS, bibs: ['7', '8', '9'] });
    if (facts.type !== 'rate') throw new Error('expected the rate');
    expect(facts.likelyCadence).toBeCloseTo(160, 2);
    expect(facts.cadence).toBeCloseTo((160 * fps) / FPS, 2);
  });

  it('asks for no rate below 20 or above 1000 frames a second, nor where none mends the cadence', () => {
    const slow = passage({ fps: 960, step: 0.75, contact: 0.4 });
    expect(types(find(slow))).not.toContain('rate');
    const twice = passage({ fps: 100, step: 0.75, contact: 0.4 });
    expect(types(find(twice))).toContain('rate');
    expect(types(find({ ...slow, marks: slow.marks.slice(0, 2) }))).not.toContain('rate');
  });

  it('judges by those who run, and a clip of walkers by them', () => {
    const walkers = ['1', '2', '3'].map((bib) => misread(passage({ gait: 'walk', bib }), 60));
    expect(types(find(...walkers))).toEqual(['rate']);
    expect(types(find(...['1', '2', '3'].map((bib) => passage({ gait: 'walk', bib })), passage()))).toEqual([]);
  });

  it('does not come again once the lead has left it, and comes for another rate', () => {
    const asked = input(misread(passage(), 120));
    const [doubt] = checkRace(asked);
    expect(checkRace({ ...asked, leftAsIs: new Set([doubt!.key]) })).toEqual([]);
    expect(find(misread(passage(), 60))[0]!.key).not.toBe(doubt!.key);
  });
});

describe('frames missing', () => {
  /** Frames of a listed clip with one gap of `gaps` median gaps at a frame of the first step. */
  function withGap(gaps: number, frame: number): Passage {
    const own = passage();
    return {
      ...own,
      marks: own.marks.map((one) => ({
        ...one,
        recordedUs: Math.round((one.frame + (one.frame >= frame ? gaps - 1 : 0)) * (US / FPS)),
        gapSeconds: Math.round((one.frame === frame ? gaps : 1) * (US / FPS)) / US,
      })),
    };
  }

  it.each([
    ['between marks', 30],
    ['before the toe-off', 60],
  ])('doubts a gap above 3 median gaps %s', (_, frame) => {
    expect(find(withGap(3, frame))).toEqual([]);
    const [doubt, ...more] = find(withGap(3.5, frame));
    expect(more).toEqual([]);
    expect(doubt!.facts).toEqual({ type: 'frames-missing', steps: 1, of: 4 });
    expect(doubtTitle(doubt!)).toBe('Frames are missing in a step of 7');
  });

  it('does not count a gap between steps', () => {
    expect(find(withGap(4, 75))).toEqual([]);
  });
});
