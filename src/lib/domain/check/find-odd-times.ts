import type { Doubt, DoubtFacts, TimedPoint } from './doubt.ts';
import { decisionTag, doubtKey } from './doubt-key.ts';
import type { Field } from './field.ts';
import { PROPOSE_FROM } from './find-unlisted.ts';
import { leastHumanSeconds } from './human-pace.ts';
import { candidatesOf, type Misreadings } from './misreadings.ts';
import { PACE, paceDensity, paceDeviation, type PaceLine } from './pace-line.ts';
import { median } from './robust-line.ts';

/** When a time counts as odd; common practice, no source. */
export const ODD = {
  /** Robust standard deviations from what the field's pace makes likely. */
  far: 5,
  /** From here on the look-alike bibs are weighed; a doubt is raised when a misreading is the likelier story. */
  worthALook: 2.5,
  misreadFrom: 0.5,
  /** A starter seen but without a finish: raised at a lower probability, since nothing contradicts the reading. */
  noFinishFrom: 0.3,
  /** How far before its expected time a finish must lie to be called before a sighting, in deviations. */
  netFinish: 3,
  /** Clocks and mats differ by so much without anybody being wrong. */
  slackSeconds: 10,
  /** Late waves may start so long after the gun when own starts are not known. */
  waveSeconds: 20 * 60,
  /** Two observers of one runner further apart than this, and than `far` deviations, did not see the same person. */
  observersSeconds: 60,
  /** With this share of impossible stretches between two points the clocks or the set-up are wrong, not the runners. */
  systematicShare: 0.2,
  usualSecondsPerKm: 360,
} as const;

/** A place in a runner's day: a sighting, or the finish. */
interface Stop {
  readonly sighting: number | null;
  readonly point: number;
  /** Seconds since the start. */
  readonly seconds: number;
}

interface Step {
  readonly from: Stop;
  readonly to: Stop;
  readonly type: 'fine' | 'backwards' | 'too-fast' | 'too-slow' | 'odd' | 'after-finish';
  readonly density: number;
  readonly z: number;
  readonly expectedSeconds: number | null;
  readonly boundSeconds: number | null;
}

/** One runner's day. */
interface Chain {
  readonly bib: number;
  readonly stops: readonly Stop[];
  readonly steps: readonly Step[];
}

/** A stretch between two points, the runners with times at both, and the median of how far off these are. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly runners: number;
  readonly seconds: number;
}

interface Paced {
  readonly density: number;
  readonly z: number;
  readonly expectedSeconds: number | null;
  readonly settled: boolean;
}

/** Impossible and odd times of each runner, one doubt for each runner, with who may have been meant. */
export class OddTimes {
  readonly #field: Field;
  readonly #misreadings: Misreadings;
  /** Sightings that a double entry already puts in question. */
  readonly #apart: ReadonlySet<string>;
  readonly #noFinishRate: number;
  readonly #chains: readonly Chain[];
  /**
   * The stretches that a good part of the field cannot have run as the times say: the clock of a tablet at one end, or the
   * set-up, is wrong. One for each two points, with how far off the times are against a usual pace.
   */
  readonly systematic: readonly Stretch[];

  constructor(field: Field, misreadings: Misreadings, doubles: readonly Doubt[]) {
    this.#field = field;
    this.#misreadings = misreadings;
    this.#apart = new Set(doubles.flatMap((d) => d.records));
    this.#noFinishRate = noFinishRate(field);
    this.#chains = this.#allChains();
    this.systematic = this.#findSystematic();
  }

  #allChains(): Chain[] {
    const chains: Chain[] = [];
    if (Number.isNaN(this.#field.startMs)) return chains;
    for (let bib = 0; bib < this.#field.bibs.length; bib += 1) {
      const stops = this.#stops(bib);
      if (stops.length) chains.push({ bib, stops, steps: this.#steps(bib, stops) });
    }
    return chains;
  }

  find(): Doubt[] {
    const stretches = new Set(this.systematic.map(({ from, to }) => `${from} ${to}`));
    // Said once, for the clock or the set-up, by whoever looks at tablets: see `shiftsBehind`.
    const systematic = (step: Step) => stretches.size > 0 && stretches.has(`${step.from.point} ${step.to.point}`);
    return this.#chains.flatMap(({ bib, stops, steps }) => {
      const doubt = this.#judge(bib, stops, steps, systematic);
      return doubt ? [doubt] : [];
    });
  }

  #findSystematic(): Stretch[] {
    const points = this.#field.finish + 1;
    const stretches = new Map<number, { from: number; to: number; runners: number; bad: number; off: number[] }>();
    for (const { steps } of this.#chains) {
      for (const step of steps) {
        const { point: from } = step.from;
        const { point: to } = step.to;
        let known = stretches.get(from * points + to);
        if (!known) stretches.set(from * points + to, (known = { from, to, runners: 0, bad: 0, off: [] }));
        known.runners += 1;
        known.bad += isHard(step) ? 1 : 0;
        const km = this.#field.km(to) - this.#field.km(from);
        known.off.push(step.to.seconds - step.from.seconds - km * ODD.usualSecondsPerKm);
      }
    }
    return [...stretches.values()]
      .filter(({ runners, bad }) => runners >= PACE.fewPairs && bad / runners > ODD.systematicShare)
      .map(({ from, to, runners, off }) => ({ from, to, runners, seconds: median(off) }));
  }

  #stops(bib: number): Stop[] {
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

  #steps(bib: number, stops: readonly Stop[]): Step[] {
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
      const odd = seconds > ODD.observersSeconds && z > ODD.far;
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
      ODD.slackSeconds +
      // Where the field does not show how late its waves start, a net time may be shorter by as much.
      (toFinish && !paced.settled && field.input.finishClock === 'net' && !field.hasOwnStart(bib)
        ? ODD.waveSeconds
        : 0) +
      // An estimated start is no base for a duration that counts from the real one.
      (toFinish && !field.startKnown ? ODD.waveSeconds : 0);
    const km = field.km(to.point) - field.km(from.point);
    const bound = Number.isNaN(km) ? null : leastHumanSeconds(km);
    // Net times of late waves lie before sightings near the finish all over the field: then this one is not odd.
    const usual = toFinish && paced.settled && paced.z > -ODD.netFinish;
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
    const type = Math.abs(paced.z) <= ODD.far ? 'fine' : paced.z > 0 ? 'too-slow' : 'odd';
    return { ...common, ...paced, boundSeconds: bound, type };
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

  #judge(
    bib: number,
    stops: readonly Stop[],
    steps: readonly Step[],
    systematic: (step: Step) => boolean,
  ): Doubt | null {
    const field = this.#field;
    const noFinish = field.input.results !== null && bib < field.listed && Number.isNaN(field.finishSeconds[bib]!);
    const looked = steps.filter((s) => !systematic(s));
    const odd = looked.filter((s) => s.type !== 'fine');
    // Two stops that contradict each other say more than one that comes too soon after the start.
    const early = field.startKnown && !odd.some(isHard) ? this.#beforeStart(bib, stops) : null;
    const suspicious = looked.some((s) => Math.abs(s.z) > ODD.worthALook);
    if (!odd.length && !early && !noFinish && !suspicious) return null;

    const whole = this.#likelihood(stops, steps) * (noFinish ? this.#noFinishRate : 1) * (early ? 1e-6 : 1);
    const ways = stops.flatMap((stop, n) => {
      if (stop.sighting === null) return [];
      const rest = stops.filter((_, m) => m !== n);
      const without = this.#likelihood(rest, this.#steps(bib, rest));
      const sighting = stop.sighting;
      return (
        this.#misreadings
          .of(sighting, new Set([sighting]))
          // Nothing is known of a runner once their only sighting is somebody else's.
          .map((m) => ({ bib: m.bib, sighting, weight: m.weight * without }))
      );
    });
    const total = ways.reduce((sum, way) => sum + way.weight, whole);
    const misread = total > 0 ? 1 - whole / total : 0;
    const hard = early !== null || odd.length > 0;
    const raised = hard || (noFinish ? misread >= ODD.noFinishFrom : misread >= ODD.misreadFrom);
    if (!raised) return null;

    const candidates = candidatesOf(field, ways, whole);
    const byRecord = new Map<number, number>();
    for (const way of ways) byRecord.set(way.sighting, (byRecord.get(way.sighting) ?? 0) + way.weight);
    const worst = [...odd, ...looked].sort((a, b) => rank(b) - rank(a))[0];
    const inQuestion = hard && !early ? stops.filter((s) => odd.some((o) => o.from === s || o.to === s)) : stops;
    const records = inQuestion
      .flatMap((s) => (s.sighting === null ? [] : [s.sighting]))
      .sort((a, b) => (byRecord.get(b) ?? 0) - (byRecord.get(a) ?? 0) || a - b);
    const first = records[0];
    if (first === undefined) return null;
    const facts = this.#facts(early, worst, noFinish && !hard ? stops : null);
    const key = doubtKey(['time', ...records.map((i) => field.sighting(i).id).sort()]);
    const best = candidates[0];
    return {
      key,
      kind: 'time',
      checkpoint: field.sighting(first).checkpoint,
      bib: field.bibs[bib]!,
      records: records.map((i) => field.sighting(i).id),
      candidates,
      facts,
      proposal:
        best && best.probability >= PROPOSE_FROM
          ? best.records.map((target) => ({
              kind: 'correction',
              target,
              bib: best.bib,
              note: `Bib misread ${decisionTag('time', key)}`,
            }))
          : null,
      weight: weightOf(facts, misread),
    };
  }

  #likelihood(stops: readonly Stop[], steps: readonly Step[]): number {
    const first = stops[0];
    if (!first) return 1;
    const start = first.seconds > 0 ? this.#field.fieldDensity(first.point, Math.log(first.seconds)) : 1e-6;
    return steps.reduce((product, step) => product * step.density, start);
  }

  /** The first stop that comes before the start, or so soon after it that nobody runs that. */
  #beforeStart(bib: number, stops: readonly Stop[]): Stop | null {
    const field = this.#field;
    // A wave sent off before the gun of the race is not known when own starts are missing for some only.
    for (const stop of stops) {
      if (stop.sighting === null) continue;
      const km = field.km(stop.point);
      if (km > 0 && stop.seconds + ODD.slackSeconds < leastHumanSeconds(km)) return stop;
    }
    return null;
  }

  #timed(stop: Stop): TimedPoint {
    const km = this.#field.km(stop.point);
    return {
      point: stop.point,
      km: Number.isNaN(km) ? null : km,
      atMs: stop.sighting === null ? null : this.#field.atMs[stop.sighting]!,
    };
  }

  #facts(early: Stop | null, worst: Step | undefined, noFinish: readonly Stop[] | null): DoubtFacts {
    if (early) return { type: 'before-start', at: this.#timed(early), seconds: early.seconds };
    if (noFinish || !worst) {
      const stops = noFinish ?? [];
      return { type: 'no-result', at: this.#timed(stops[stops.length - 1]!), sightings: stops.length };
    }
    if (worst.type === 'after-finish') {
      return { type: 'after-finish', at: this.#timed(worst.from), seconds: worst.from.seconds - worst.to.seconds };
    }
    return {
      type: worst.type === 'fine' ? 'odd' : worst.type,
      from: this.#timed(worst.from),
      to: this.#timed(worst.to),
      seconds: worst.to.seconds - worst.from.seconds,
      expectedSeconds: worst.expectedSeconds,
      boundSeconds: worst.boundSeconds,
    };
  }
}

function isHard(step: Step): boolean {
  return step.type === 'backwards' || step.type === 'too-fast' || step.type === 'after-finish';
}

function rank(step: Step): number {
  return (isHard(step) ? 1000 : 0) + Math.abs(step.z);
}

function weightOf(facts: DoubtFacts, misread: number): number {
  const hard = ['before-start', 'backwards', 'after-finish', 'too-fast'].includes(facts.type);
  if (facts.type === 'no-result') return 0.3 + 0.3 * misread;
  return (hard ? 0.72 : 0.45) + 0.15 * misread;
}

/** Share of the sighted starters who have no finish, at least half a per cent. */
function noFinishRate(field: Field): number {
  if (!field.input.results) return 1;
  let seen = 0;
  let without = 0;
  for (let bib = 0; bib < field.listed; bib += 1) {
    if (!field.sightingsOf[bib]!.length) continue;
    seen += 1;
    if (Number.isNaN(field.finishSeconds[bib]!)) without += 1;
  }
  return Math.max(0.005, seen ? without / seen : 0);
}
