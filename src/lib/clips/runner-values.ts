import { compareCodePoints } from '../records/code-point-order.ts';
import type { GaitValue, MeasuredPassage } from './measure-passages.ts';

/** One runner's value of one figure. */
export interface RunnerValue {
  readonly bib: string;
  readonly value: number;
  /** The part of its variance that frames and points make. */
  readonly frameVariance: number;
}

/** Values by runner: the mean over observers of the mean of each observer's values. By bib in code-point order. */
export function runnerValues(values: readonly GaitValue[]): RunnerValue[] {
  const byBib = new Map<string, Map<string, GaitValue[]>>();
  for (const value of values) {
    const { bib, observer } = value.from.passage;
    let observers = byBib.get(bib);
    if (!observers) byBib.set(bib, (observers = new Map<string, GaitValue[]>()));
    const own = observers.get(observer);
    if (own) own.push(value);
    else observers.set(observer, [value]);
  }
  return [...byBib]
    .sort(([a], [b]) => compareCodePoints(a, b))
    .map(([bib, observers]) => ({ bib, ...meanOverObservers([...observers.values()]) }));
}

const mean = (numbers: readonly number[]) => numbers.reduce((sum, x) => sum + x, 0) / numbers.length;

function meanOverObservers(observers: readonly (readonly GaitValue[])[]): Omit<RunnerValue, 'bib'> {
  // A mark in several values, as a contact between two steps, counts once with all its slopes added.
  const slopes = new Map<MeasuredPassage, Map<number, number>>();
  let frameVariance = 0;
  for (const values of observers) {
    const weight = 1 / (values.length * observers.length);
    for (const { from, measured } of values) {
      frameVariance += weight ** 2 * measured.pointVariance;
      let own = slopes.get(from);
      if (!own) slopes.set(from, (own = new Map<number, number>()));
      for (const [place, slope] of measured.slopes) own.set(place, (own.get(place) ?? 0) + weight * slope);
    }
  }
  for (const [{ reading }, own] of slopes) {
    for (const [place, slope] of own) frameVariance += (slope * reading.marks[place]!.gapSeconds) ** 2 / 12;
  }
  return { value: mean(observers.map((values) => mean(values.map(({ measured }) => measured.value)))), frameVariance };
}
