import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { measurePassages, valuesOf, type GaitValue, type MeasuredPassage } from '../../../clips/measure-passages.ts';
import type { PassageTable } from '../../../clips/passage.ts';
import { reviewerPairs } from '../../../clips/reviewer-pairs.ts';
import { runnerValues, type RunnerValue } from '../../../clips/runner-values.ts';
import { GAIT_FIGURES, LEAST_FPS_ANGLES, type GaitFigure, type StepFigure } from '../../../clips/step-figures.ts';
import { describeSample } from '../../../stats/samples/describe-sample.ts';
import { kruskalWallisTest } from '../../../stats/ranks/kruskal-wallis-test.ts';
import { limitsOfAgreement } from '../../../stats/agreement/limits-of-agreement.ts';
import { meanInterval } from '../../../stats/samples/mean-interval.ts';
import { pairedTTest } from '../../../stats/samples/paired-t-test.ts';
import { rankWithTies } from '../../../stats/ranks/rank-with-ties.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import {
  CLASS_FIGURES,
  REPEAT_FIGURES,
  type CheckpointGait,
  type ClassComparison,
  type GaitChange,
  type GaitGroup,
  type GaitGroupName,
  type GaitSummary,
  type SideComparison,
} from './gait.ts';
import { gaitsOfPassages, gaitsOfSightings, type RunnerGait, type RunnerGaits } from './runner-gaits.ts';

const STEP_FIGURES = GAIT_FIGURES.filter((name): name is StepFigure => name !== 'cadence');
const GROUPS = ['all', ...RUNNER_CLASSES, 'walking'] as const satisfies readonly GaitGroupName[];
/** Figures are ranked to this many parts of their unit, so that equal ones tie whatever way they were computed. */
const RANKED_PARTS = 1e9;

export interface GaitFindings {
  gait: CheckpointGait[];
  /** `null` with one checkpoint. */
  gaitChange: GaitChange | null;
}

export interface GaitOptions {
  /** All checkpoints, in order. */
  readonly checkpoints: readonly { readonly name: string; readonly km: number }[];
  readonly early: string;
  readonly late: string;
  readonly level: number;
}

/**
 * Contact, flight, cadence and angles of a race's runners from the marks on clips. The unit is the runner: the mean of
 * the runner's steps, of several observers the mean of theirs.
 *
 * @param race the resolved sightings, which say who ran and in which class; `null` when only marks were given
 */
export function gaitFigures(marks: PassageTable, race: ResolvedRace | null, options: GaitOptions): GaitFindings {
  const ids = race && new Set(Array.from({ length: race.table.size }, (_, row) => race.table.recordId(row)));
  const { passages, left } = measurePassages(marks, (id) => ids === null || ids.has(id));
  const gaits = race ? gaitsOfSightings(race) : gaitsOfPassages(passages);
  const places = options.checkpoints.map(({ name, km }) => {
    const here = passages.filter(({ passage }) => passage.checkpoint === name);
    return { name, km, here, values: valuesOf(here) };
  });
  const gait = places.map(({ name, km, here, values }): CheckpointGait => {
    const all = marks.passages.filter(({ checkpoint }) => checkpoint === name);
    const rates = all.map(({ fpsRecorded }) => fpsRecorded);
    const counts = left.get(name) ?? { noSighting: 0, noBib: 0, repeats: 0, doubtful: 0, incomplete: 0 };
    const steps = stepCounts(here, gaits);
    return {
      checkpoint: name,
      km,
      clips: new Set(all.map(({ clip }) => clip)).size,
      passages: all.length,
      runners: steps.runners,
      steps: steps.steps,
      fps: { least: least(rates), greatest: greatest(rates) },
      excluded: {
        doubtful: counts.doubtful,
        repeats: counts.repeats + (marks.metAgain.get(name) ?? 0),
        incomplete: counts.incomplete,
        outside: marks.outside.get(name) ?? 0,
        noSighting: counts.noSighting,
        noBib: counts.noBib,
        ...steps.excluded,
      },
      groups: recordBy(GROUPS, (group) => groupFigures(values, inGroup(group, gaits), options.level)),
      sides: recordBy(STEP_FIGURES, (figure) => compareSides(values[figure], gaits, options.level)),
      byClass: recordBy(CLASS_FIGURES, (figure) => compareClasses(values[figure], name, gaits)),
      repeat: repeatFigures(here),
    };
  });
  return { gait, gaitChange: options.checkpoints.length > 1 ? changeOf(places, gaits, options) : null };
}

const least = (numbers: readonly number[]) => (numbers.length === 0 ? null : numbers.reduce((a, b) => Math.min(a, b)));
const greatest = (numbers: readonly number[]) =>
  numbers.length === 0 ? null : numbers.reduce((a, b) => Math.max(a, b));

const gaitOfPassage = ({ passage }: MeasuredPassage, gaits: RunnerGaits): RunnerGait =>
  gaits(passage.checkpoint, passage.bib);

function stepCounts(passages: readonly MeasuredPassage[], gaits: RunnerGaits) {
  const runners = new Set<string>();
  const excluded = { disputed: 0, lowRate: 0, shortShoe: 0 };
  let steps = 0;
  for (const measured of passages) {
    if (gaitOfPassage(measured, gaits).gait === 'disputed') {
      excluded.disputed += measured.steps.length;
      continue;
    }
    runners.add(measured.passage.bib);
    steps += measured.steps.length;
    if (measured.passage.fpsRecorded < LEAST_FPS_ANGLES) excluded.lowRate += measured.steps.length;
    excluded.shortShoe += measured.steps.filter(({ measures }) => measures.shortShoe).length;
  }
  return { runners: runners.size, steps, excluded };
}

function inGroup(group: GaitGroupName, gaits: RunnerGaits): (value: GaitValue) => boolean {
  return ({ from }) => {
    const { gait, outcome } = gaitOfPassage(from, gaits);
    if (group === 'all') return gait === 'running';
    return group === 'walking' ? gait === 'walking' : outcome === group;
  };
}

function groupFigures(
  values: Record<GaitFigure, GaitValue[]>,
  belongs: (value: GaitValue) => boolean,
  level: number,
): GaitGroup {
  return recordBy(GAIT_FIGURES, (figure) => summarise(runnerValues(values[figure].filter(belongs)), level));
}

function summarise(runners: readonly RunnerValue[], level: number): GaitSummary {
  const values = runners.map(({ value }) => value);
  const { n, mean, sd, low, high } = meanInterval(values, level);
  const { median, q1, q3 } = describeSample(values);
  const frames = runners.reduce((sum, { frameVariance }) => sum + frameVariance, 0);
  return { n, mean, sd, low, high, median, q1, q3, frameSd: n === 0 ? null : Math.sqrt(frames / n) };
}

/** Values of the runners that stand in both lists, in the same order. */
function pairUp(first: readonly RunnerValue[], second: readonly RunnerValue[]): [number[], number[]] {
  const other = new Map(second.map(({ bib, value }) => [bib, value]));
  const both = first.filter(({ bib }) => other.has(bib));
  return [both.map(({ value }) => value), both.map(({ bib }) => other.get(bib)!)];
}

function comparePairs(first: readonly RunnerValue[], second: readonly RunnerValue[], level: number) {
  const test = pairedTTest(...pairUp(first, second), level);
  const { n, difference, low, high, statistic, df, p } = test;
  return { means: test, rest: { difference, low, high, t: statistic, df, p }, n };
}

/** Of the observers who have the figure of both the runner's sides. */
function compareSides(values: readonly GaitValue[], gaits: RunnerGaits, level: number): SideComparison {
  const running = values.filter(inGroup('all', gaits));
  const eye = ({ from: { passage } }: GaitValue) => JSON.stringify([passage.bib, passage.observer]);
  const sides = { near: new Set<string>(), far: new Set<string>() };
  for (const value of running) if (value.nearness) sides[value.nearness].add(eye(value));
  const ofSide = (side: 'near' | 'far') =>
    runnerValues(
      running.filter((value) => value.nearness === side && sides.near.has(eye(value)) && sides.far.has(eye(value))),
    );
  const { n, means, rest } = comparePairs(ofSide('far'), ofSide('near'), level);
  return { n, near: means.second, far: means.first, ...rest };
}

function compareClasses(values: readonly GaitValue[], checkpoint: string, gaits: RunnerGaits): ClassComparison {
  const placeOf = (bib: string) => RUNNER_CLASSES.findIndex((name) => name === gaits(checkpoint, bib).outcome);
  const runners = runnerValues(values.filter(({ from }) => placeOf(from.passage.bib) >= 0));
  const ranked = rankWithTies(runners.map(({ value }) => Math.round(value * RANKED_PARTS) / RANKED_PARTS));
  const groups = runners.map(({ bib }) => placeOf(bib));
  const { n, statistic, df, p, epsilonSquared } = kruskalWallisTest(ranked, groups, RUNNER_CLASSES.length);
  return { n, statistic, df, p, epsilonSquared };
}

function repeatFigures(passages: readonly MeasuredPassage[]): CheckpointGait['repeat'] {
  const pairs = reviewerPairs(passages);
  const figures = recordBy(REPEAT_FIGURES, (name) => {
    const { n, mean, sd, low, high } = limitsOfAgreement(pairs.flatMap((pair) => pair[name] ?? []));
    return { n, mean, sd, low, high };
  });
  return { steps: pairs.length, ...figures };
}

function changeOf(
  places: readonly { name: string; values: Record<GaitFigure, GaitValue[]> }[],
  gaits: RunnerGaits,
  { early, late, level }: GaitOptions,
): GaitChange {
  const runnersAt = (checkpoint: string, figure: GaitFigure) => {
    const place = places.find(({ name }) => name === checkpoint);
    return runnerValues((place?.values[figure] ?? []).filter(inGroup('all', gaits)));
  };
  const figures = recordBy(GAIT_FIGURES, (figure) => {
    const { n, means, rest } = comparePairs(runnersAt(early, figure), runnersAt(late, figure), level);
    return { n, early: means.first, late: means.second, ...rest };
  });
  return { early, late, ...figures };
}
