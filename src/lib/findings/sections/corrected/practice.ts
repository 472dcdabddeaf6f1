import type { RunnerAnswer } from '../../../practice/runner-answer.ts';
import { compareCodePoints } from '../../../records/code-point-order.ts';
import { FOOT_VALUES, RUNNER_CLASSES, type Foot } from '../../../records/foot.ts';
import { isClassified, REARFOOT, runnerOutcome, type SingleFootRule } from '../../../sightings/runner-classes.ts';
import { gaitOf, leftOf, LIVE, methodOf, rightOf, WALK } from '../../../sightings/seen.ts';
import { observerOf } from '../../../sightings/used-sightings.ts';
import { normalUpperQuantile } from '../../../stats/distributions.ts';
import {
  matrixMethod,
  type KeyedAnswers,
  type MatrixMethodResult,
} from '../../../stats/misclassification/matrix-method.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { CorrectedChange, PracticeCorrection, PractisedCheckpoint, PractisedDifference } from './corrected.ts';

/** With fewer used answers of a class than this an observer has not practised. */
const LEAST_ANSWERS = 5;
/** A standard error below this is rounding. */
const ROUNDING = 1e-12;
const CLASSES = RUNNER_CLASSES.length;

/** The practice set, items and observers numbered, with answers that have a class. */
interface PracticeSet {
  /** By code point. */
  readonly observers: readonly string[];
  readonly items: number;
  readonly unclassified: number;
  /** By observer: 4×4, rows key, columns answer. */
  readonly tables: number[][][];
  readonly practised: readonly boolean[];
  readonly answers: KeyedAnswers;
}

function practiceSetOf(rows: readonly RunnerAnswer[], singleFoot: SingleFootRule): PracticeSet {
  const observers = [...new Set(rows.map(({ observer }) => observer))].sort(compareCodePoints);
  const place = new Map(observers.map((name, i) => [name, i]));
  const items = new Map<string, number>();
  for (const { item } of rows) if (!items.has(item)) items.set(item, items.size);
  const classOf = (left: Foot, right: Foot, rule: SingleFootRule): number =>
    runnerOutcome(FOOT_VALUES.indexOf(left), FOOT_VALUES.indexOf(right), rule);
  const used = rows
    .map(({ item, observer, keyLeft, keyRight, left, right }) => ({
      item: items.get(item)!,
      rater: place.get(observer)!,
      key: classOf(keyLeft, keyRight, 'exclude'),
      kind: classOf(left, right, singleFoot),
    }))
    .filter(({ kind }) => isClassified(kind));
  const tables = observers.map(() => RUNNER_CLASSES.map(() => new Array<number>(CLASSES).fill(0)));
  for (const { rater, key, kind } of used) tables[rater]![key]![kind]! += 1;
  return {
    observers,
    items: items.size,
    unclassified: rows.length - used.length,
    tables,
    practised: tables.map((table) =>
      table.every((row) => row.reduce((total, count) => total + count, 0) >= LEAST_ANSWERS),
    ),
    answers: {
      item: Int32Array.from(used, ({ item }) => item),
      rater: Int32Array.from(used, ({ rater }) => rater),
      key: Uint8Array.from(used, ({ key }) => key),
      kind: Uint8Array.from(used, ({ kind }) => kind),
      itemCount: items.size,
    },
  };
}

/** Live sightings of practised observers whose own two feet give a class, in columns sorted by bib. */
interface PractisedReadings {
  readonly bib: Int32Array;
  readonly checkpoint: Int32Array;
  readonly rater: Int32Array;
  readonly kind: Uint8Array;
  readonly size: number;
  /** By checkpoint: readings of others. */
  readonly unpractised: Int32Array;
}

function readingsOf({ table, used }: ResolvedRace, set: PracticeSet, singleFoot: SingleFootRule): PractisedReadings {
  const raterOfName = new Map(set.observers.map((name, i) => [name, i]));
  const raterOf = table.observers.map((name) => {
    const rater = raterOfName.get(name.trim());
    return rater !== undefined && set.practised[rater] ? rater : -1;
  });
  const length = used.rows.length;
  const [bib, checkpoint, rater] = [new Int32Array(length), new Int32Array(length), new Int32Array(length)];
  const kind = new Uint8Array(length);
  const unpractised = new Int32Array(table.checkpoints.length);
  let size = 0;
  for (let i = 0; i < length; i += 1) {
    const seen = used.seen[i]!;
    if (methodOf(seen) !== LIVE || gaitOf(seen) === WALK) continue;
    const read = runnerOutcome(leftOf(seen), rightOf(seen), singleFoot);
    if (!isClassified(read)) continue;
    const by = raterOf[observerOf(used.rater[i]!)]!;
    if (by < 0) {
      unpractised[used.checkpoint[i]!]! += 1;
      continue;
    }
    bib[size] = used.bib[i]!;
    checkpoint[size] = used.checkpoint[i]!;
    rater[size] = by;
    kind[size] = read;
    size += 1;
  }
  return { bib, checkpoint, rater, kind, size, unpractised };
}

/** The matrix method on the readings at one checkpoint, of the bibs that `takes` says; units are bibs. */
function estimateAt(
  readings: PractisedReadings,
  set: PracticeSet,
  place: number,
  bibs: number,
  takes: (bib: number) => boolean,
  level: number,
): { found: MatrixMethodResult; readings: number } | null {
  const [unit, rater, kind] = [readings.bib.slice(), readings.rater.slice(), readings.kind.slice()];
  let size = 0;
  for (let i = 0; i < readings.size; i += 1) {
    if (readings.checkpoint[i] !== place || !takes(readings.bib[i]!)) continue;
    unit[size] = readings.bib[i]!;
    rater[size] = readings.rater[i]!;
    kind[size] = readings.kind[i]!;
    size += 1;
  }
  const found = matrixMethod(
    {
      unit: unit.subarray(0, size),
      rater: rater.subarray(0, size),
      kind: kind.subarray(0, size),
      unitCount: bibs,
    },
    set.answers,
    { raterCount: set.observers.length, classCount: CLASSES },
    level,
  );
  return found && { found, readings: size };
}

function checkpointOf(
  estimate: { found: MatrixMethodResult; readings: number } | null,
): Omit<PractisedCheckpoint, 'checkpoint' | 'km' | 'unpractised'> {
  const found = estimate?.found;
  return {
    runners: found?.n ?? 0,
    readings: estimate?.readings ?? 0,
    matrix: found ? found.matrix.map((row) => [...row]) : null,
    classes: recordBy(RUNNER_CLASSES, (_, i) => ({
      observed: found?.observed[i] ?? null,
      ...(found?.classes?.[i] ?? { raw: null, share: null, se: null, low: null, high: null }),
    })),
  };
}

function changeOf(before: MatrixMethodResult, after: MatrixMethodResult, level: number): CorrectedChange {
  if (!before.classes || !after.classes) {
    return { early: null, late: null, difference: null, se: null, low: null, high: null };
  }
  const early = before.classes[REARFOOT]!.raw;
  const late = after.classes[REARFOOT]!.raw;
  const squares = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < b.length; i += 1) sum += (b[i]! - a[i]!) ** 2;
    return sum;
  };
  const ofRunners = squares(before.unitInfluence(REARFOOT), after.unitInfluence(REARFOOT)) / before.n ** 2;
  const ofItems = squares(before.itemInfluence(REARFOOT), after.itemInfluence(REARFOOT));
  const se = Math.sqrt(ofRunners + ofItems);
  const difference = late - early;
  if (se < ROUNDING) return { early, late, difference, se: 0, low: null, high: null };
  const half = normalUpperQuantile((1 - level) / 2) * se;
  return { early, late, difference, se, low: Math.max(-1, difference - half), high: Math.min(1, difference + half) };
}

function differenceOf(
  { table }: ResolvedRace,
  readings: PractisedReadings,
  set: PracticeSet,
  { early, late }: { early: number; late: number },
  level: number,
): PractisedDifference {
  const bibs = table.bibs.length;
  const seen = new Uint8Array(bibs);
  for (let i = 0; i < readings.size; i += 1) {
    if (readings.checkpoint[i] === early) seen[readings.bib[i]!]! |= 1;
    if (readings.checkpoint[i] === late) seen[readings.bib[i]!]! |= 2;
  }
  const both = (bib: number): boolean => seen[bib] === 3;
  const before = estimateAt(readings, set, early, bibs, both, level)?.found;
  const after = estimateAt(readings, set, late, bibs, both, level)?.found;
  const names = { early: table.checkpoints[early]!.name, late: table.checkpoints[late]!.name };
  if (!before || !after) {
    const none = { early: null, late: null, difference: null };
    return { ...names, paired: 0, observed: none, corrected: { ...none, se: null, low: null, high: null } };
  }
  const [first, second] = [before.observed[REARFOOT]!, after.observed[REARFOOT]!];
  return {
    ...names,
    paired: before.n,
    observed: { early: first, late: second, difference: second - first },
    corrected: changeOf(before, after, level),
  };
}

/**
 * Shares and difference by the matrix method: live readings of observers who answered a practice set whose classes are
 * known. `early` and `late` are places in the table's checkpoints, the same with a single one.
 */
export function practiceOf(
  race: ResolvedRace,
  rows: readonly RunnerAnswer[],
  early: number,
  late: number,
  level: number,
  singleFoot: SingleFootRule,
): PracticeCorrection {
  const { table } = race;
  const set = practiceSetOf(rows, singleFoot);
  const readings = readingsOf(race, set, singleFoot);
  const everybody = (): boolean => true;
  return {
    items: set.items,
    answers: rows.length,
    unclassified: set.unclassified,
    observers: set.observers.map((observer, i) => ({
      observer,
      practised: set.practised[i]!,
      table: set.tables[i]!,
    })),
    checkpoints: table.checkpoints.map(({ name, km }, place) => ({
      checkpoint: name,
      km,
      ...checkpointOf(estimateAt(readings, set, place, table.bibs.length, everybody, level)),
      unpractised: readings.unpractised[place]!,
    })),
    difference: early === late ? null : differenceOf(race, readings, set, { early, late }, level),
  };
}
