import { strikeAngle, shankAngle, type MeasuredAngle, type ShoePoints } from './angles.ts';
import type { Passage, PassageMark } from './passage.ts';
import type { PassageReading, StepPlaces } from './read-passage.ts';

/** Figures of one step, in the order used everywhere; cadence is one for a passage. */
export const GAIT_FIGURES = ['contact', 'step', 'flight', 'cadence', 'duty', 'strikeAngle', 'shankAngle'] as const;
export type GaitFigure = (typeof GAIT_FIGURES)[number];
export type StepFigure = Exclude<GaitFigure, 'cadence'>;

/** Below these frames a second: no times at all; no flight and no angle. */
export const LEAST_FPS_TIMES = 60;
export const LEAST_FPS_ANGLES = 100;

/**
 * A value with what makes it uncertain. The variance is that of its marks, each g²/12 (g the gap before the frame) times
 * the square of how the value changes with it, and `pointVariance` for angles.
 */
export interface Measured {
  /** Seconds, steps a minute, a share or degrees. */
  readonly value: number;
  /** How the value changes with the time of each mark, per second; by the mark's place in the reading. */
  readonly slopes: readonly (readonly [place: number, slope: number])[];
  readonly pointVariance: number;
}

export interface StepMeasures extends Partial<Record<StepFigure, Measured>> {
  /** There would be a strike angle, were the shoe not shorter than 40 pixels. */
  readonly shortShoe: boolean;
}

const fromAngle = ({ degrees, variance }: MeasuredAngle): Measured => ({
  value: degrees,
  slopes: [],
  pointVariance: variance,
});

const shoeOf = ({ points: { heel, toe } }: PassageMark): ShoePoints | null => (heel && toe ? { heel, toe } : null);

/**
 * The figures of one step. A figure that rests on a doubtful mark, on a mark that is not there, or for which the camera
 * took too few frames a second, is left out.
 */
export function stepFigures(passage: Passage, reading: PassageReading, step: StepPlaces): StepMeasures {
  const { marks } = reading;
  const { contact, toeoff, flat } = step;
  const next = reading.nextOther.get(contact) ?? null;
  const sure = (place: number | null): place is number => place !== null && !marks[place]!.doubtful;
  const between = (from: number, to: number): Measured => ({
    value: (marks[to]!.recordedUs - marks[from]!.recordedUs) / 1e6,
    slopes: [
      [from, -1],
      [to, 1],
    ],
    pointVariance: 0,
  });
  const figures: { -readonly [Name in keyof StepMeasures]: StepMeasures[Name] } = { shortShoe: false };
  if (passage.fpsRecorded >= LEAST_FPS_TIMES && sure(contact)) {
    if (sure(toeoff)) figures.contact = between(contact, toeoff);
    if (sure(next)) figures.step = between(contact, next);
    const same = reading.nextSame.get(contact) ?? null;
    if (figures.contact && sure(same)) {
      figures.duty = dutyFactor(figures.contact, toeoff, between(contact, same).value, same, 1);
    } else if (figures.contact && figures.step && next !== null) {
      figures.duty = dutyFactor(figures.contact, toeoff, 2 * figures.step.value, next, 2);
    }
  }
  if (passage.fpsRecorded < LEAST_FPS_ANGLES) return figures;
  if (sure(toeoff) && sure(next)) figures.flight = between(toeoff, next);
  if (!sure(contact)) return figures;
  const { knee, ankle } = marks[contact]!.points;
  const shank = knee && ankle ? shankAngle(knee, ankle, passage) : null;
  if (shank) figures.shankAngle = fromAngle(shank);
  const shoes = sure(flat) ? [shoeOf(marks[contact]!), shoeOf(marks[flat]!)] : [];
  if (!shoes[0] || !shoes[1]) return figures;
  const strike = strikeAngle(shoes[0], shoes[1], passage);
  if (strike) figures.strikeAngle = fromAngle(strike);
  else figures.shortShoe = true;
  return figures;
}

/** Contact time ÷ stride; where the stride is twice the step time, the next contact counts twice. */
function dutyFactor(contact: Measured, toeoff: number, stride: number, end: number, times: 1 | 2): Measured {
  const rest = (times * contact.value) / stride ** 2;
  const start = contact.slopes[0]![0];
  return {
    value: contact.value / stride,
    slopes: [
      [start, -1 / stride + rest],
      [toeoff, 1 / stride],
      [end, -rest],
    ],
    pointVariance: 0,
  };
}

/**
 * Steps a minute over a passage: 60·m ÷ the sum of its m step times between contacts that are both sure. In an unbroken
 * row only the first and the last contact make it uncertain. `null` without a step time, or below 60 frames a second.
 */
export function cadenceOf(passage: Passage, { marks, nextOther }: PassageReading): Measured | null {
  if (passage.fpsRecorded < LEAST_FPS_TIMES) return null;
  const links = [...nextOther].filter(([from, to]) => !marks[from]!.doubtful && !marks[to]!.doubtful);
  if (links.length === 0) return null;
  const total = links.reduce((sum, [from, to]) => sum + marks[to]!.recordedUs - marks[from]!.recordedUs, 0) / 1e6;
  const value = (60 * links.length) / total;
  const slope = value / total;
  return {
    value,
    slopes: links.flatMap(([from, to]) => [[from, slope] as const, [to, -slope] as const]),
    pointVariance: 0,
  };
}
