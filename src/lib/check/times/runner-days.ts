import type { CheckedField } from './checked-field.ts';
import { leastHumanSeconds } from './human-pace.ts';
import { PACE, paceDensity, paceDeviation, type PaceLine } from './pace-line.ts';

/** When a step between two times counts as odd; common practice, no source. */
export const STEP = {
  /** Robust standard deviations from what the field's pace makes likely. */
  far: 5,
  /** How far before its expected time a finish must lie to be called before a sighting, in deviations. */
  netFinish: 3,
  /** Clocks and mats differ by so much without anybody being wrong. */
  slackSeconds: 10,
  /** Late waves may start so long after the gun when own starts are not known. */
  waveSeconds: 20 * 60,
  /** Two observers of one runner further apart than this, and than `far` deviations, did not see the same person. */
  observersSeconds: 60,
} as const;

/** A place in a runner's day: a sighting, or the finish. */
export interface Stop {
  readonly sighting: number | null;
  readonly point: number;
  /** Seconds since the start. */
  readonly seconds: number;
}

/** From one stop to the next, with what is to be said of it. */
export interface Step {
  readonly from: Stop;
  readonly to: Stop;
  readonly type: 'fine' | 'backwards' | 'too-fast' | 'too-slow' | 'odd' | 'after-finish';
  /** Density of the time at its end, if both stops are this runner's. */
  readonly density: number;
  /** Deviation from the expected time, in units of the scatter on its side. */
  readonly z: number;
  readonly expectedSeconds: number | null;
  /** The least that the distance takes anybody. */
  readonly boundSeconds: number | null;
}

/** One runner's day. */
export interface RunnerDay {
  readonly bib: number;
  readonly stops: readonly Stop[];
  readonly steps: readonly Step[];
}

interface Paced {
  readonly density: number;
  readonly z: number;
  readonly expectedSeconds: number | null;
  readonly settled: boolean;
}

/** The days of a field's runners: their times in the order of the course, and how each follows from the one before. */
export class RunnerDays {
  readonly #field: CheckedField;
  readonly #apart: ReadonlySet<string>;
  /** By the two points: a race has few stretches and many runners. */
  readonly #bounds = new Map<number, number | null>();

  /** @param apart ids of sightings that are in question already and no part of a day */
  constructor(field: CheckedField, apart: ReadonlySet<string>) {
    this.#field = field;
    this.#apart = apart;
  }

  /** The days of all who were seen live; none without a start to count from. */
  all(): RunnerDay[] {
    const days: RunnerDay[] = [];
    if (Number.isNaN(this.#field.startMs)) return days;
    for (let bib = 0; bib < this.#field.bibs.length; bib += 1) {
      const stops = this.stopsOf(bib);
      if (stops.length) days.push({ bib, stops, steps: this.stepsOf(bib, stops) });
    }
    return days;
  }

  /** A runner's live sightings in the order of the course, without those in doubt already, and the finish. */
  stopsOf(bib: number): Stop[] {
    const field = this.#field;
    const stops: Stop[] = [];
    for (const i of field.sightingsOf[bib]!) {
      const { checkpoint, id, method } = field.sighting(i);
      const seconds = field.elapsed[i]!;
      if (method !== 'live' || Number.isNaN(seconds) || this.#apart.has(id)) continue;
      stops.push({ sighting: i, point: checkpoint, seconds });
    }
    if (!stops.length) return stops;
    stops.sort((a, b) => field.km(a.point) - field.km(b.point) || a.seconds - b.seconds);
    const finish = field.finishElapsed(bib);
    if (!Number.isNaN(finish)) stops.push({ sighting: null, point: field.finish, seconds: finish });
    return stops;
  }

  /** What leads from each stop to the next. */
  stepsOf(bib: number, stops: readonly Stop[]): Step[] {
    return stops.slice(1).map((to, n) => this.#step(bib, stops[n]!, to));
  }

  #step(bib: number, from: Stop, to: Stop): Step {
    const field = this.#field;
    const common = { from, to, density: 1, z: 0, expectedSeconds: null, boundSeconds: null } as const;
    const seconds = to.seconds - from.seconds;
    if (from.point === to.point) {
      const sd = field.observersApartSeconds;
      const z = seconds / sd;
      const share = sd / Math.max(to.seconds, 1);
      const odd = seconds > STEP.observersSeconds && z > STEP.far;
      return {
        ...common,
        z,
        expectedSeconds: 0,
        density: this.#density(to, z, { sdSlower: share, sdFaster: share }),
        type: odd ? 'odd' : 'fine',
      };
    }
    const toFinish = to.point === field.finish;
    const paced = this.#paced(from, to, false);
    const slack =
      STEP.slackSeconds +
      // Where the field does not show how late its waves start, a net time may be shorter by as much.
      (toFinish && !paced.settled && field.input.finishClock === 'net' && !field.hasOwnStart(bib)
        ? STEP.waveSeconds
        : 0) +
      // An estimated start is no base for a duration that counts from the real one.
      (toFinish && !field.startKnown ? STEP.waveSeconds : 0);
    const km = field.km(to.point) - field.km(from.point);
    const bound = this.#bound(from.point, to.point);
    // Net times of late waves lie before sightings near the finish all over the field: then this one is not odd.
    const usual = toFinish && paced.settled && paced.z > -STEP.netFinish;
    if (seconds <= -slack && (toFinish || km > 0) && !usual) {
      return {
        ...common,
        boundSeconds: bound,
        type: toFinish ? 'after-finish' : 'backwards',
        ...this.#paced(from, to, true),
      };
    }
    if (bound !== null && seconds + slack < bound)
      return { ...common, ...paced, boundSeconds: bound, type: 'too-fast' };
    const type = Math.abs(paced.z) <= STEP.far ? 'fine' : paced.z > 0 ? 'too-slow' : 'odd';
    return { ...common, ...paced, boundSeconds: bound, type };
  }

  /** The least seconds that anybody needs from one point to another; null when their distance is not known. */
  #bound(from: number, to: number): number | null {
    const field = this.#field;
    const stretch = from * (field.finish + 1) + to;
    let bound = this.#bounds.get(stretch);
    if (bound === undefined) {
      const km = field.km(to) - field.km(from);
      bound = Number.isNaN(km) ? null : leastHumanSeconds(km);
      this.#bounds.set(stretch, bound);
    }
    return bound;
  }

  /** How the time at `to` follows from that at `from`; `settled` when the field shows it and not only a rule of thumb. */
  #paced(from: Stop, to: Stop, impossible: boolean): Paced {
    const field = this.#field;
    const fit = field.fit(from.point, to.point);
    if (!fit || from.seconds < PACE.leastElapsedSeconds || to.seconds <= 0) {
      return { density: impossible ? 1e-6 : 1, z: 0, expectedSeconds: null, settled: false };
    }
    const mean = fit.intercept + fit.slope * Math.log(from.seconds);
    const z = paceDeviation(fit, Math.log(to.seconds) - mean);
    const density = impossible ? 1e-6 : this.#density(to, z, fit);
    return { density, z, expectedSeconds: Math.exp(mean) - from.seconds, settled: fit.n >= PACE.fewPairs };
  }

  /** Density of a right time: normal about the expected one, with rare stragglers and hardly anyone far too fast. */
  #density(to: Stop, z: number, line: Pick<PaceLine, 'sdSlower' | 'sdFaster'>): number {
    const stray = z > 0 ? PACE.straySlow : PACE.strayFast;
    return (
      (1 - stray) * paceDensity(line, z) + stray * this.#field.fieldDensity(to.point, Math.log(Math.max(to.seconds, 1)))
    );
  }

  /** How likely a whole day is: the product of its densities. */
  likelihood(stops: readonly Stop[], steps: readonly Step[]): number {
    const first = stops[0];
    if (!first) return 1;
    const start = first.seconds > 0 ? this.#field.fieldDensity(first.point, Math.log(first.seconds)) : 1e-6;
    return steps.reduce((product, step) => product * step.density, start);
  }
}

/** Whether no runner can have run that. */
export function isHard(step: Step): boolean {
  return step.type === 'backwards' || step.type === 'too-fast' || step.type === 'after-finish';
}
