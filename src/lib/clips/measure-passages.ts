import { compareCodePoints } from '../records/code-point-order.ts';
import { nearnessOf, type Nearness, type Passage, type PassageTable } from './passage.ts';
import { readPassage, type PassageReading, type StepPlaces } from './read-passage.ts';
import {
  cadenceOf,
  GAIT_FIGURES,
  stepFigures,
  type GaitFigure,
  type Measured,
  type StepMeasures,
} from './step-figures.ts';

/** Why a mark is in no figure. Each counts in one of them at most, the first that holds. */
export const MARK_REASONS = ['noSighting', 'noBib', 'repeats', 'doubtful', 'incomplete'] as const;
export type MarkReason = (typeof MARK_REASONS)[number];

/** A passage that counts, with its bib known. */
export interface StandingPassage extends Passage {
  readonly bib: string;
}

export interface MeasuredStep extends StepPlaces {
  readonly nearness: Nearness;
  readonly measures: StepMeasures;
}

export interface MeasuredPassage {
  readonly passage: StandingPassage;
  readonly reading: PassageReading;
  readonly steps: readonly MeasuredStep[];
  readonly cadence: Measured | null;
}

/** One value of one figure: of a step, or the cadence of a passage. */
export interface GaitValue {
  readonly from: MeasuredPassage;
  /** Of the foot that made contact; `null` for cadence. */
  readonly nearness: Nearness | null;
  readonly measured: Measured;
}

/** What all passages of a race measure. */
export interface Measurements {
  /** Those that stand, in order of their latest mark. */
  readonly passages: readonly MeasuredPassage[];
  /** For each checkpoint how many of its marks are in no figure, and why. */
  readonly left: ReadonlyMap<string, Readonly<Record<MarkReason, number>>>;
}

const latest = ({ marks }: Passage) => marks.reduce((most, { madeAtMs }) => Math.max(most, madeAtMs), -Infinity);

/**
 * Measures all passages. Of one observer's several passages of one bib through one clip at one checkpoint the one with the
 * latest mark stands, ties by the greater id.
 *
 * @param isSighting whether a sighting of that id is there; all are, when only marks were given
 */
export function measurePassages(table: PassageTable, isSighting: (id: string) => boolean): Measurements {
  const left = new Map<string, Record<MarkReason, number>>();
  const count = (checkpoint: string, reason: MarkReason, marks = 1) => {
    let counts = left.get(checkpoint);
    if (!counts) left.set(checkpoint, (counts = { noSighting: 0, noBib: 0, repeats: 0, doubtful: 0, incomplete: 0 }));
    counts[reason] += marks;
  };
  const ordered = table.passages
    .map((passage) => ({ passage, at: latest(passage) }))
    .sort((a, b) => a.at - b.at || compareCodePoints(a.passage.id, b.passage.id));
  const standing = new Map<string, StandingPassage>();
  for (const { passage } of ordered) {
    const { sightingId, bib, checkpoint, clip, observer, marks } = passage;
    if (sightingId === null || !isSighting(sightingId)) count(checkpoint, 'noSighting', marks.length);
    else if (bib === null) count(checkpoint, 'noBib', marks.length);
    else {
      const key = JSON.stringify([checkpoint, clip, observer, bib]);
      const before = standing.get(key);
      if (before) count(checkpoint, 'repeats', before.marks.length);
      // Taken out first, so that the order stays that of the latest marks.
      standing.delete(key);
      standing.set(key, { ...passage, bib });
    }
  }
  const passages = [...standing.values()].map((passage) => {
    const measured = measurePassage(passage);
    for (const reason of reasonsOf(measured.reading)) count(passage.checkpoint, reason);
    return measured;
  });
  return { passages, left };
}

function measurePassage(passage: StandingPassage): MeasuredPassage {
  const reading = readPassage(passage.marks);
  const steps = reading.steps.map((step) => ({
    ...step,
    nearness: nearnessOf(passage, reading.marks[step.contact]!.foot),
    measures: stepFigures(passage, reading, step),
  }));
  return { passage, reading, steps, cadence: cadenceOf(passage, reading) };
}

function reasonsOf({ marks, repeats, inStep }: PassageReading): MarkReason[] {
  return marks.flatMap(({ doubtful }, place): MarkReason[] => {
    if (repeats.has(place)) return ['repeats'];
    if (doubtful) return ['doubtful'];
    return inStep.has(place) ? [] : ['incomplete'];
  });
}

/** All values of each figure. */
export function valuesOf(passages: readonly MeasuredPassage[]): Record<GaitFigure, GaitValue[]> {
  const values = Object.fromEntries(GAIT_FIGURES.map((name) => [name, [] as GaitValue[]])) as Record<
    GaitFigure,
    GaitValue[]
  >;
  for (const from of passages) {
    for (const { nearness, measures } of from.steps) {
      for (const name of GAIT_FIGURES) {
        const measured = name === 'cadence' ? undefined : measures[name];
        if (measured) values[name].push({ from, nearness, measured });
      }
    }
    if (from.cadence) values.cadence.push({ from, nearness: null, measured: from.cadence });
  }
  return values;
}
