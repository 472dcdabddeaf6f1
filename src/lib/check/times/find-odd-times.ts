import type { Doubt, DoubtFacts, TimedPoint } from '../doubt.ts';
import { decisionTag, doubtKey } from '../doubt-key.ts';
import type { CheckedField } from './checked-field.ts';
import { PROPOSE_FROM } from '../bibs/find-unlisted.ts';
import { leastHumanSeconds } from './human-pace.ts';
import { candidatesOf, type Misreadings } from '../bibs/misreadings.ts';
import { isHard, RunnerDays, STEP, type RunnerDay, type Step, type Stop } from './runner-days.ts';
import { systematicStretches, type Stretch } from './systematic-stretches.ts';

/** When a runner's times become a doubt; common practice, no source. */
const ODD = {
  /** Robust standard deviations from which on the look-alike bibs are weighed. */
  worthALook: 2.5,
  /** A doubt is raised when a misreading is the likelier story. */
  misreadFrom: 0.5,
  /** A starter seen but without a finish: raised at a lower probability, since nothing contradicts the reading. */
  noFinishFrom: 0.3,
} as const;

/** Impossible and odd times of each runner, one doubt for each runner, with who may have been meant. */
export class OddTimes {
  readonly #field: CheckedField;
  readonly #misreadings: Misreadings;
  readonly #noFinishRate: number;
  readonly #runnerDays: RunnerDays;
  readonly #days: readonly RunnerDay[];
  /** See `systematicStretches`. */
  readonly systematic: readonly Stretch[];

  /** @param doubles double entries: their sightings are in question already */
  constructor(field: CheckedField, misreadings: Misreadings, doubles: readonly Doubt[]) {
    this.#field = field;
    this.#misreadings = misreadings;
    this.#noFinishRate = noFinishRate(field);
    this.#runnerDays = new RunnerDays(field, new Set(doubles.flatMap((d) => d.records)));
    this.#days = this.#runnerDays.all();
    this.systematic = systematicStretches(field, this.#days);
  }

  find(): Doubt[] {
    const stretches = new Set(this.systematic.map(({ from, to }) => `${from} ${to}`));
    // Said once, for the clock or the set-up, by whoever looks at tablets: see `shiftsBehind`.
    const systematic = (step: Step) => stretches.size > 0 && stretches.has(`${step.from.point} ${step.to.point}`);
    return this.#days.flatMap(({ bib, stops, steps }) => {
      const doubt = this.#judge(bib, stops, steps, systematic);
      return doubt ? [doubt] : [];
    });
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

    const whole = this.#runnerDays.likelihood(stops, steps) * (noFinish ? this.#noFinishRate : 1) * (early ? 1e-6 : 1);
    const ways = stops.flatMap((stop, n) => {
      if (stop.sighting === null) return [];
      const rest = stops.filter((_, m) => m !== n);
      const without = this.#runnerDays.likelihood(rest, this.#runnerDays.stepsOf(bib, rest));
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

  /** The first stop that comes before the start, or so soon after it that nobody runs that. */
  #beforeStart(bib: number, stops: readonly Stop[]): Stop | null {
    const field = this.#field;
    // A wave sent off before the gun of the race is not known when own starts are missing for some only.
    for (const stop of stops) {
      if (stop.sighting === null) continue;
      const km = field.km(stop.point);
      if (km > 0 && stop.seconds + STEP.slackSeconds < leastHumanSeconds(km)) return stop;
    }
    return null;
  }

  #timed(stop: Stop): TimedPoint {
    const km = this.#field.km(stop.point);
    const atMs = stop.sighting === null ? null : this.#field.input.sightings[stop.sighting]!.atMs;
    return {
      point: stop.point,
      km: Number.isNaN(km) ? null : km,
      atMs,
      clockMs: stop.sighting === null || atMs === null ? 0 : this.#field.atMs[stop.sighting]! - atMs,
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

function rank(step: Step): number {
  return (isHard(step) ? 1000 : 0) + Math.abs(step.z);
}

function weightOf(facts: DoubtFacts, misread: number): number {
  const hard = ['before-start', 'backwards', 'after-finish', 'too-fast'].includes(facts.type);
  if (facts.type === 'no-result') return 0.3 + 0.3 * misread;
  return (hard ? 0.72 : 0.45) + 0.15 * misread;
}

/** Share of the sighted starters who have no finish, at least half a per cent. */
function noFinishRate(field: CheckedField): number {
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
