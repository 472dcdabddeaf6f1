import { deviceOf } from '../input/check-input.ts';
import type { Doubt } from '../doubt.ts';
import { doubtKey } from '../doubt-key.ts';
import type { CheckedField } from './checked-field.ts';
import { PACE, powerLawStep } from './pace-line.ts';
import { median, scaledMad } from './robust-line.ts';
import type { Stretch } from './systematic-stretches.ts';

/** When a clock counts as off; common practice, no source. */
const CLOCK = {
  leastSeconds: 20,
  leastRunners: 5,
  /** Standard errors of a median that the shift must exceed. */
  errors: 4,
  leastRunnersByPace: 20,
  /** A whole tablet's runners this far (in logarithms) from the pace of the rest, with nobody beside it to compare. */
  grossLog: 0.15,
} as const;

/** The standard error of a median is this times that of the mean, in a normal distribution. */
const MEDIAN_ERROR = 1.2533;

/** A shift found in one tablet's times, positive when its clock is ahead. */
export interface ClockShift {
  readonly device: string;
  readonly against: string | null;
  readonly aheadSeconds: number;
  readonly runners: number;
  readonly certain: boolean;
}

/**
 * Tablets whose clock is off after the measured offsets are taken out: against another tablet that saw the same runners
 * at the same checkpoint; where no runners are common, against the others at the checkpoint by the pace of the runners;
 * and, for a tablet alone, only when its whole field would have run at a grossly different pace. A shift of seconds on a
 * tablet that nobody stood beside cannot be told from a hilly course.
 */
export function findClockShifts(field: CheckedField): ClockShift[] {
  const pairs = comparePairs(field);
  const shifts = blame(field, pairs);
  const known = new Set(shifts.flatMap((s) => [s.device, s.against]));
  for (const pair of pairs) known.add(pair.a).add(pair.b);
  return [...shifts, ...byPace(field, known), ...gross(field, known)];
}

/** One doubt for each tablet whose clock is off, not one for each of its runners. */
export function clockDoubts(field: CheckedField, shifts: readonly ClockShift[]): Doubt[] {
  return shifts.map((shift) => {
    const own = field.input.sightings.filter((s) => deviceOf(s) === shift.device && s.method === 'live');
    const key = doubtKey(['clock', shift.device]);
    return {
      key,
      kind: 'time',
      checkpoint: own[0]?.checkpoint ?? null,
      bib: null,
      records: own.map((s) => s.id),
      candidates: [],
      facts: {
        ...{ type: 'clock', observer: own[0]?.observer ?? '', ...shift },
        measuredMs: field.input.offsetsMs.get(shift.device) ?? null,
      },
      proposal: null,
      weight: 1,
    };
  });
}

/**
 * Tablets behind stretches that a good part of the field cannot have run: of the two ends the later checkpoint's, or the
 * earlier one's when the other end is the finish. Those that are known to be off already are not named again.
 */
export function shiftsBehind(
  field: CheckedField,
  stretches: readonly Stretch[],
  known: readonly ClockShift[],
): ClockShift[] {
  const named = new Set(known.map((shift) => shift.device));
  const shifts: ClockShift[] = [];
  for (const { from, to, runners, seconds } of stretches) {
    const [point, sign] = to === field.finish ? [from, -1] : [to, 1];
    const there = field.input.sightings.filter((s) => s.checkpoint === point && s.method === 'live').map(deviceOf);
    if (!there.length || there.some((device) => named.has(device))) continue;
    const counts = new Map<string, number>();
    for (const device of there) counts.set(device, (counts.get(device) ?? 0) + 1);
    const [device] = [...counts].reduce((a, b) => (b[1] > a[1] ? b : a));
    named.add(device);
    shifts.push({ device, against: null, aheadSeconds: sign * seconds, runners, certain: false });
  }
  return shifts;
}

interface Pair {
  readonly a: string;
  readonly b: string;
  /** Seconds by which a's clock is ahead of b's. */
  readonly seconds: number;
  readonly runners: number;
  readonly off: boolean;
}

function comparePairs(field: CheckedField): Pair[] {
  const differences = new Map<string, Map<string, number[]>>();
  for (const group of field.sightingsOf) {
    for (let m = 0; m < group.length; m += 1) {
      for (let n = m + 1; n < group.length; n += 1) {
        const [i, j] = [group[m]!, group[n]!];
        const [s, t] = [field.sighting(i), field.sighting(j)];
        if (s.checkpoint !== t.checkpoint || s.method !== 'live' || t.method !== 'live') continue;
        const [d, e] = [deviceOf(s), deviceOf(t)];
        if (d === e) continue;
        const [a, b] = d < e ? [d, e] : [e, d];
        let ofA = differences.get(a);
        if (!ofA) differences.set(a, (ofA = new Map()));
        const list = ofA.get(b) ?? [];
        if (!list.length) ofA.set(b, list);
        list.push(((field.atMs[i]! - field.atMs[j]!) / 1000) * (d < e ? 1 : -1));
      }
    }
  }
  const pairs: Pair[] = [];
  for (const [a, ofA] of differences) {
    for (const [b, seconds] of ofA) {
      if (seconds.length < CLOCK.leastRunners) continue;
      const centre = median(seconds);
      const error = (MEDIAN_ERROR * scaledMad(seconds, centre)) / Math.sqrt(seconds.length);
      const off = Math.abs(centre) > CLOCK.leastSeconds && Math.abs(centre) > CLOCK.errors * error;
      pairs.push({ a, b, seconds: centre, runners: seconds.length, off });
    }
  }
  return pairs;
}

/** Of two tablets that differ, the one that also differs from others, or whose clock nobody measured, is off. */
function blame(field: CheckedField, pairs: readonly Pair[]): ClockShift[] {
  const score = new Map<string, number>();
  for (const pair of pairs) {
    for (const device of [pair.a, pair.b]) score.set(device, (score.get(device) ?? 0) + (pair.off ? 1 : -1));
  }
  for (const device of field.input.offsetsMs.keys()) score.set(device, (score.get(device) ?? 0) - 0.5);
  const shifts = new Map<string, ClockShift>();
  const settled = (device: string) => shifts.has(device);
  for (const pair of [...pairs].sort((x, y) => Math.abs(y.seconds) - Math.abs(x.seconds))) {
    if (!pair.off || settled(pair.a) || settled(pair.b)) continue;
    const [a, b] = [score.get(pair.a)!, score.get(pair.b)!];
    const byPace = a === b ? paceSpeaksAgainst(field, pair) : null;
    const aIsOff = a === b ? byPace !== pair.b : a > b;
    shifts.set(aIsOff ? pair.a : pair.b, {
      device: aIsOff ? pair.a : pair.b,
      against: aIsOff ? pair.b : pair.a,
      aheadSeconds: aIsOff ? pair.seconds : -pair.seconds,
      runners: pair.runners,
      certain: a !== b,
    });
  }
  return [...shifts.values()];
}

/** With no third witness: the tablet whose runners differ more from the usual power law of their other times. */
function paceSpeaksAgainst(field: CheckedField, pair: Pair): string | null {
  const deviation = (device: string) => Math.abs(median(powerLawResiduals(field, device)));
  const [a, b] = [deviation(pair.a), deviation(pair.b)];
  if (Number.isNaN(a) || Number.isNaN(b)) return null;
  return a >= b ? pair.a : pair.b;
}

function powerLawResiduals(field: CheckedField, device: string): number[] {
  const residuals: number[] = [];
  for (let i = 0; i < field.elapsed.length; i += 1) {
    const s = field.sighting(i);
    const seconds = field.elapsed[i]!;
    if (deviceOf(s) !== device || !(seconds >= PACE.leastElapsedSeconds)) continue;
    for (let point = 0; point <= field.finish; point += 1) {
      if (point === s.checkpoint) continue;
      const other = field.log(field.bibOf[i]!, point);
      const step = powerLawStep(field.km(point), field.km(s.checkpoint));
      if (Number.isNaN(other) || Number.isNaN(step)) continue;
      residuals.push(Math.log(seconds) - other - step);
    }
  }
  return residuals;
}

/** Tablets at one checkpoint without common runners: compared by what each runner's other times make likely. */
function byPace(field: CheckedField, known: ReadonlySet<string | null>): ClockShift[] {
  const residuals = new Map<number, Map<string, number[]>>();
  for (let i = 0; i < field.elapsed.length; i += 1) {
    const seconds = field.elapsed[i]!;
    const s = field.sighting(i);
    if (!(seconds >= PACE.leastElapsedSeconds) || s.method !== 'live') continue;
    const expected = field.expect(field.bibOf[i]!, s.checkpoint);
    if (!expected) continue;
    let here = residuals.get(s.checkpoint);
    if (!here) residuals.set(s.checkpoint, (here = new Map()));
    const list = here.get(deviceOf(s)) ?? [];
    if (!list.length) here.set(deviceOf(s), list);
    list.push(seconds - Math.exp(expected.mean));
  }
  const shifts: ClockShift[] = [];
  for (const here of residuals.values()) {
    for (const [device, own] of here) {
      if (known.has(device) || own.length < CLOCK.leastRunnersByPace) continue;
      const others = [...here].filter(([other]) => other !== device).flatMap(([, list]) => list);
      if (others.length < own.length) continue;
      const seconds = median(own) - median(others);
      const error =
        (MEDIAN_ERROR * scaledMad(own)) / Math.sqrt(own.length) +
        (MEDIAN_ERROR * scaledMad(others)) / Math.sqrt(others.length);
      if (Math.abs(seconds) <= CLOCK.leastSeconds || Math.abs(seconds) <= (CLOCK.errors + 1) * error) continue;
      shifts.push({ device, against: null, aheadSeconds: seconds, runners: own.length, certain: false });
    }
  }
  return shifts;
}

/** A usual pace of road races, minutes per km, to tell which of two tablets is hours off; common practice, no source. */
const USUAL_PACE = 6;

function gross(field: CheckedField, known: ReadonlySet<string | null>): ClockShift[] {
  if (!field.startKnown) return [];
  const shifts: ClockShift[] = [];
  const steps = field.input.checkpoints.map((_, here) => stepsTo(field, here));
  for (const [device, sightings] of sightingsByDevice(field)) {
    if (known.has(device)) continue;
    const own: number[] = [];
    const expected: number[] = [];
    const paces: number[] = [];
    for (const i of sightings) {
      const here = field.checkpointOf[i]!;
      const km = field.km(here);
      if (Number.isNaN(field.elapsed[i]!) || !(km > 0)) continue;
      own.push(field.elapsed[i]!);
      paces.push(field.elapsed[i]! / 60 / km);
      for (const { point, step } of steps[here]!) {
        const other = field.log(field.bibOf[i]!, point);
        if (!Number.isNaN(other)) expected.push(field.elapsed[i]! - Math.exp(other + step));
      }
    }
    if (expected.length < CLOCK.leastRunners) {
      // Nobody was seen elsewhere: only a whole field before the start, or hours after anyone, says something.
      continue;
    }
    const seconds = median(expected);
    const elapsed = median(own);
    const before = elapsed - seconds;
    const off = elapsed <= 0 || before <= 0 || Math.abs(Math.log(elapsed / before)) > CLOCK.grossLog;
    const odder = Math.abs(Math.log(Math.max(median(paces), 0.1) / USUAL_PACE)) > 0.4;
    if (off && odder)
      shifts.push({ device, against: null, aheadSeconds: seconds, runners: own.length, certain: false });
  }
  return shifts;
}

/** The indices of each tablet's sightings, for the tablets that have live ones. */
function sightingsByDevice(field: CheckedField): Map<string, number[]> {
  const { sightings } = field.input;
  const byDevice = new Map<string, number[]>();
  for (const s of sightings) if (s.method === 'live' && !byDevice.has(deviceOf(s))) byDevice.set(deviceOf(s), []);
  sightings.forEach((s, i) => byDevice.get(deviceOf(s))?.push(i));
  return byDevice;
}

/** By how much the logarithm of a time grows from each other point to this one, where both distances are known. */
function stepsTo(field: CheckedField, here: number): { readonly point: number; readonly step: number }[] {
  return Array.from({ length: field.finish + 1 }, (_, point) => ({
    point,
    step: powerLawStep(field.km(point), field.km(here)),
  })).filter(({ point, step }) => point !== here && !Number.isNaN(step));
}
