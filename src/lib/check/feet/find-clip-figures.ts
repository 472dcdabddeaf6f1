import { measurePassages, type MeasuredPassage, type MeasuredStep } from '../../clips/measure-passages.ts';
import type { PassageTable } from '../../clips/passage.ts';
import {
  isOutside,
  LIMITED_FIGURES,
  PLAUSIBLE,
  type LimitedFigure,
  type Limits,
} from '../../clips/plausible-limits.ts';
import type { CheckInput } from '../input/check-input.ts';
import type { Doubt, DoubtFacts, OutsideFigure } from '../doubt.ts';
import { doubtKey } from '../doubt-key.ts';
import { rateInDoubt } from './rate-in-doubt.ts';

/** Figures that a wrong recorded rate makes wrong; the others are shares and angles. */
const HANG_ON_RATE: ReadonlySet<LimitedFigure> = new Set(['contact', 'flight', 'cadence']);
/** Frames are missing where the time between two frames is above so many median gaps. */
const MOST_GAPS = 3;

/**
 * Doubts about what clips measure: a recorded rate at which nobody moves, figures outside the limits of the plausible, a
 * gait that the feet contradict, frames missing inside a step. Of the passages that stand, with their bib known: the others
 * are in no figure. Drops nothing.
 */
export function findClipFigures({ passages, checkpoints }: Pick<CheckInput, 'passages' | 'checkpoints'>): Doubt[] {
  if (!passages) return [];
  const indexOf = new Map(checkpoints.map(({ name }, i) => [name, i]));
  return clipsOf(passages).flatMap((own) => {
    const checkpoint = indexOf.get(own[0]!.passage.checkpoint) ?? null;
    const rate = rateDoubt(own, checkpoint, checkpoints);
    const found = own.flatMap((one) => [
      figuresDoubt(one, checkpoint, rate !== null),
      gaitDoubt(one, checkpoint),
      framesDoubt(one, checkpoint),
    ]);
    return [rate, ...found].filter((doubt) => doubt !== null);
  });
}

/** The passages that stand, those of one clip at one checkpoint together. */
function clipsOf(table: PassageTable): MeasuredPassage[][] {
  const byClip = new Map<string, MeasuredPassage[]>();
  for (const one of measurePassages(table, () => true).passages) {
    const key = `${one.passage.checkpoint}\n${one.passage.clip}`;
    const own = byClip.get(key);
    if (own) own.push(one);
    else byClip.set(key, [one]);
  }
  return [...byClip.values()];
}

function rateDoubt(
  own: readonly MeasuredPassage[],
  checkpoint: number | null,
  checkpoints: CheckInput['checkpoints'],
): Doubt | null {
  const rate = rateInDoubt(own.map(({ passage }) => passage));
  if (!rate) return null;
  const { clip } = own[0]!.passage;
  const place = checkpoint === null ? null : (checkpoints[checkpoint]!.place ?? checkpoint);
  return {
    ...{ key: doubtKey(['clip-rate', clip, place, rate.fps]), kind: 'clip', checkpoint, bib: null },
    records: own.flatMap(({ passage }) => passage.sightingId ?? []),
    facts: { type: 'rate', clip, bibs: [...new Set(own.map(({ passage }) => passage.bib))], ...rate },
    ...{ candidates: [], proposal: null, weight: 0.9, film: { clip, frame: firstFrame(own[0]!) } },
  };
}

const firstFrame = ({ reading }: MeasuredPassage) => reading.marks[0]?.frame ?? 0;

/** A doubt about one runner's passage; `basis` is what would make it another doubt. */
function passageDoubt(
  { passage, reading }: MeasuredPassage,
  checkpoint: number | null,
  facts: DoubtFacts,
  steps: readonly MeasuredStep[],
  { basis, weight }: { readonly basis: readonly (string | number)[]; readonly weight: number },
): Doubt {
  const marks = steps.flatMap(({ contact, toeoff }) => [reading.marks[contact]!.id, reading.marks[toeoff]!.id]);
  return {
    key: doubtKey([facts.type, passage.id, ...basis]),
    ...{ kind: 'clip', checkpoint, bib: passage.bib, facts, weight, candidates: [], proposal: null },
    records: [...(passage.sightingId === null ? [] : [passage.sightingId]), ...marks],
    film: { clip: passage.clip, frame: reading.marks[steps[0]?.contact ?? 0]?.frame ?? 0 },
  };
}

function figuresDoubt(one: MeasuredPassage, checkpoint: number | null, isRateInDoubt: boolean): Doubt | null {
  const { gait } = one.passage;
  const outside: OutsideFigure[] = [];
  const steps = new Set<MeasuredStep>();
  for (const [name, limits] of limitsFor(one, isRateInDoubt)) {
    const odd = valuesOf(one, name).filter(({ value }) => isOutside(value, limits));
    if (odd.length === 0) continue;
    for (const { step } of odd) if (step) steps.add(step);
    const values = odd.map(({ value }) => value);
    outside.push({ name, limits, least: Math.min(...values), greatest: Math.max(...values), count: odd.length });
  }
  if (outside.length === 0) return null;
  const basis = outside.flatMap(({ name, least, greatest }) => [name, least.toPrecision(6), greatest.toPrecision(6)]);
  const facts = { type: 'implausible', gait, outside } as const;
  return passageDoubt(one, checkpoint, facts, [...steps], { basis, weight: 0.55 });
}

/** The limits to hold a passage to. While the rate is asked for, what hangs on it is no question of its own. */
function limitsFor(one: MeasuredPassage, isRateInDoubt: boolean): (readonly [LimitedFigure, Limits])[] {
  const limits = PLAUSIBLE[one.passage.gait];
  return LIMITED_FIGURES.flatMap((name) => {
    const own = limits[name];
    if (!own || (isRateInDoubt && HANG_ON_RATE.has(name))) return [];
    // Flight and duty factor say over what the doubt about the gait says.
    if ((name === 'flight' || name === 'duty') && contradictsGait(one)) return [];
    return [[name, own] as const];
  });
}

function valuesOf(one: MeasuredPassage, name: LimitedFigure): { value: number; step: MeasuredStep | null }[] {
  if (name === 'cadence') return one.cadence ? [{ value: one.cadence.value, step: null }] : [];
  return one.steps.flatMap((step) => {
    const value = step.measures[name]?.value;
    return value === undefined ? [] : [{ value, step }];
  });
}

/** A runner with both feet down in every step, or a walker with flight in one. */
function contradictsGait(one: MeasuredPassage): boolean {
  const flights = valuesOf(one, 'flight');
  if (one.passage.gait === 'walk') return flights.some(({ value }) => value > 0);
  return flights.length > 0 && flights.every(({ value }) => value < 0);
}

function gaitDoubt(one: MeasuredPassage, checkpoint: number | null): Doubt | null {
  if (!contradictsGait(one)) return null;
  const { gait } = one.passage;
  const flights = valuesOf(one, 'flight');
  const odd = flights.filter(({ value }) => (gait === 'run' ? value < 0 : value > 0));
  const facts = { type: 'gait', gait, odd: odd.length, of: flights.length } as const;
  const steps = odd.flatMap(({ step }) => step ?? []);
  return passageDoubt(one, checkpoint, facts, steps, { basis: [gait, odd.length, flights.length], weight: 0.6 });
}

function framesDoubt(one: MeasuredPassage, checkpoint: number | null): Doubt | null {
  const timed = one.steps.filter(({ measures }) => measures.contact !== undefined);
  const odd = timed.filter((step) => lacksFrames(one, step));
  if (odd.length === 0) return null;
  const facts = { type: 'frames-missing', steps: odd.length, of: timed.length } as const;
  const basis = odd.map(({ contact }) => one.reading.marks[contact]!.id);
  return passageDoubt(one, checkpoint, facts, odd, { basis, weight: 0.45 });
}

/**
 * Whether a gap inside a step is above 3 median gaps. Of gaps only those before a marked frame are known; of the others, that
 * one of more than 3 makes the step longer by more than 2 median gaps than its frames would be.
 */
function lacksFrames({ passage, reading }: MeasuredPassage, { contact, toeoff, flat }: MeasuredStep): boolean {
  const median = 1e6 / passage.fpsRecorded;
  const [from, to] = [reading.marks[contact]!, reading.marks[toeoff]!];
  const surplus = to.recordedUs - from.recordedUs - (to.frame - from.frame) * median;
  // Both times are rounded to whole microseconds.
  if (surplus > (MOST_GAPS - 1) * median + 1) return true;
  return [toeoff, ...(flat === null ? [] : [flat])].some((place) => {
    const { frame, gapSeconds } = reading.marks[place]!;
    return frame > from.frame && gapSeconds * 1e6 > MOST_GAPS * median + 1;
  });
}
