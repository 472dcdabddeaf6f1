import { expect, it } from 'vitest';
import type { Passage, PassageMark } from './passage.ts';
import { readPassage } from './read-passage.ts';
import { cadenceOf, stepFigures } from './step-figures.ts';

const mark = (event: PassageMark['event'], foot: PassageMark['foot'], frame: number, fps = 240): PassageMark => ({
  ...{ id: `${event}${frame}`, event, foot, frame, doubtful: false, madeAtMs: 0, points: {} },
  recordedUs: Math.round((frame * 1e6) / fps),
  gapSeconds: 1 / fps,
});

const passage = (marks: readonly PassageMark[], fpsRecorded = 240): Passage => ({
  ...{ id: 'p', clip: 'c', checkpoint: 'Weir', observer: 'A', sightingId: 's', bib: '7', gait: 'run' },
  ...{ direction: 'right', nearFoot: 'right', fpsRecorded, levelDegrees: 0, lensOffDegrees: 0, marks },
});

const row = (fps: number) => [
  mark('contact', 'right', 0, fps),
  mark('toeoff', 'right', fps / 4, fps),
  mark('contact', 'left', (fps * 3) / 8, fps),
  mark('toeoff', 'left', (fps * 5) / 8, fps),
];

it.each([
  [240, 1.7],
  [120, 3.4],
])('one step at %i frames/s has SD 1/(fps·√6) = %f ms', (fps, ms) => {
  const own = passage(row(fps), fps);
  const reading = readPassage(own.marks);
  const { contact } = stepFigures(own, reading, reading.steps[0]!);
  const variance = contact!.slopes.reduce((sum, [place, by]) => sum + (by * reading.marks[place]!.gapSeconds) ** 2, 0);
  expect(1000 * Math.sqrt(variance / 12)).toBeCloseTo(ms, 1);
  expect(contact!.value).toBe(0.25);
});

it('takes twice the step time for a stride when the foot is not seen again, and cadence from the contacts', () => {
  const own = passage(row(240));
  const reading = readPassage(own.marks);
  const figures = stepFigures(own, reading, reading.steps[0]!);
  expect(figures.duty!.value).toBeCloseTo(0.25 / 0.75, 12);
  expect(figures.flight!.value).toBe(0.125);
  expect(cadenceOf(own, reading)!.value).toBeCloseTo(160, 12);
});

it('gives no flight below 100 frames a second and no time below 60', () => {
  const names = (fps: number) => {
    const own = passage(row(fps), fps);
    const reading = readPassage(own.marks);
    const { shortShoe: _, ...figures } = stepFigures(own, reading, reading.steps[0]!);
    return [Object.keys(figures), cadenceOf(own, reading) === null];
  };
  expect(names(96)).toEqual([['contact', 'step', 'duty'], false]);
  expect(names(48)).toEqual([[], true]);
});

it('takes two contacts less than 0.3 s apart for one event, the later made; further apart a mark is missing', () => {
  const twice = readPassage([
    mark('contact', 'right', 10),
    { ...mark('contact', 'right', 12), madeAtMs: 5 },
    mark('toeoff', 'right', 70),
  ]);
  expect(twice.steps).toEqual([{ contact: 1, toeoff: 2, flat: null }]);
  expect([...twice.repeats]).toEqual([0]);
  const apart = readPassage([
    mark('contact', 'right', 10),
    mark('contact', 'right', 100),
    mark('toeoff', 'right', 160),
  ]);
  expect(apart.repeats.size).toBe(0);
  expect(apart.steps).toHaveLength(1);
});
