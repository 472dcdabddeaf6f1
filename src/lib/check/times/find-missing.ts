import type { Doubt } from '../doubt.ts';
import { doubtKey } from '../doubt-key.ts';
import type { CheckedField } from './checked-field.ts';
import { median } from './robust-line.ts';

/** When a silence counts as long; common practice, no source. */
const SILENCE = {
  leastSeconds: 120,
  /** Sightings that were to be expected in it: with nobody dozing off, none at all has a chance of e to the minus this. */
  leastExpected: 10,
  /** Share of a checkpoint's sightings, at either end of its day, between which no silence counts. */
  edgeShare: 0.01,
  /**
   * Length in standard deviations of the expected passing times: in a shorter gap, such as between two waves, these do not
   * say that somebody passed.
   */
  deviations: 3,
} as const;

/** Holes in what has been handed in: in a tablet's counting, in a checkpoint's time, in the list of observers. */
export function findMissing(field: CheckedField): Doubt[] {
  return [...gaps(field), ...silences(field), ...notHandedIn(field)];
}

function gaps(field: CheckedField): Doubt[] {
  return field.input.devices.flatMap(({ device, observer, seqs, lastSeq }) => {
    const sorted = [...new Set(seqs)].sort((a, b) => a - b);
    const holes: [number, number][] = [];
    let next = 1;
    for (const seq of sorted) {
      if (seq > next) holes.push([next, seq - 1]);
      next = seq + 1;
    }
    if (lastSeq !== undefined && lastSeq >= next) holes.push([next, lastSeq]);
    if (!holes.length) return [];
    const missing = holes.reduce((sum, [from, to]) => sum + to - from + 1, 0);
    const own = field.input.sightings.filter((s) => s.device === device);
    return [
      {
        key: doubtKey(['seq-gap', device, ...holes.flat()]),
        kind: 'missing' as const,
        checkpoint: own[0]?.checkpoint ?? null,
        bib: null,
        records: [],
        candidates: [],
        facts: { type: 'seq-gap' as const, device, observer, gaps: holes, missing },
        proposal: null,
        weight: 0.86,
      },
    ];
  });
}

function silences(field: CheckedField): Doubt[] {
  const doubts: Doubt[] = [];
  for (let checkpoint = 0; checkpoint < field.finish; checkpoint += 1) {
    const found = silencesAt(field, checkpoint);
    if (!found.length) continue;
    doubts.push({
      key: doubtKey(['silence', field.placeOf(checkpoint), ...found.map((s) => Math.round(s.fromMs / 1000))]),
      kind: 'missing',
      checkpoint,
      bib: null,
      records: [],
      candidates: [],
      facts: { type: 'silence', silences: found },
      proposal: null,
      weight: 0.4,
    });
  }
  return doubts;
}

function silencesAt(field: CheckedField, checkpoint: number): { fromMs: number; toMs: number; expected: number }[] {
  const times: number[] = [];
  field.input.sightings.forEach((s, i) => {
    if (s.checkpoint === checkpoint && s.method === 'live') times.push(field.atMs[i]!);
  });
  if (times.length < 2) return [];
  times.sort((a, b) => a - b);
  // The first and the last few come minutes apart anyway.
  const edge = Math.floor(times.length * SILENCE.edgeShare);
  const least = Math.max(SILENCE.leastSeconds * 1000, field.input.plannedSilenceMs);
  const quiet: [number, number][] = [];
  for (let i = 1 + edge; i < times.length - edge; i += 1)
    if (times[i]! - times[i - 1]! > least) quiet.push([times[i - 1]!, times[i]!]);
  if (!quiet.length) return [];

  // When everyone who is known from elsewhere passed here, and how many of them were seen.
  const passes: number[] = [];
  const scatter: number[] = [];
  let known = 0;
  let seen = 0;
  for (let bib = 0; bib < field.bibs.length; bib += 1) {
    const expected = field.expect(bib, checkpoint);
    if (!expected) continue;
    const ms = field.startOf(bib) + Math.exp(expected.mean) * 1000;
    known += 1;
    if (!Number.isNaN(field.log(bib, checkpoint))) seen += 1;
    passes.push(ms);
    scatter.push(((expected.line.sdSlower + expected.line.sdFaster) / 2) * Math.exp(expected.mean) * 1000);
  }
  if (!known) return [];
  passes.sort((a, b) => a - b);
  const blur = SILENCE.deviations * median(scatter);
  return quiet.flatMap(([fromMs, toMs]) => {
    if (toMs - fromMs < blur) return [];
    const expected = ((lowerBound(passes, toMs) - lowerBound(passes, fromMs)) * seen) / known;
    return expected >= SILENCE.leastExpected ? [{ fromMs, toMs, expected }] : [];
  });
}

/** How many of the ascending values lie below `limit`. */
function lowerBound(values: readonly number[], limit: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle]! < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

function notHandedIn(field: CheckedField): Doubt[] {
  if (!field.input.sightings.length) return [];
  const here = new Set(field.input.sightings.map((s) => s.observer));
  for (const { observer } of field.input.devices) here.add(observer);
  const missing = new Map<string, number>();
  for (const { observer, checkpoint } of field.input.posts) {
    if (!here.has(observer) && !missing.has(observer)) missing.set(observer, checkpoint);
  }
  return [...missing].map(([observer, checkpoint]) => ({
    key: doubtKey(['not-handed-in', observer]),
    kind: 'missing',
    checkpoint,
    bib: null,
    records: [],
    candidates: [],
    facts: { type: 'not-handed-in', observer },
    proposal: null,
    weight: 0.9,
  }));
}
