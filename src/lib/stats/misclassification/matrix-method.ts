import { invertMatrix } from '../regression/invert-matrix.ts';
import { langReiczigelInterval } from './lang-reiczigel-interval.ts';
import { requireLevel } from '../require-number.ts';

/** Not above this a class is read right no more often than not, and no correction is tried. */
const LEAST_RIGHT = 0.5 + 1e-9;
/** A standard error below this is rounding. */
const ROUNDING = 1e-12;

/** What raters read, column by column. */
export interface Readings {
  /** Unit of each reading, 0 to unitCount − 1; a unit with m readings gives each the weight 1/m. */
  readonly unit: ArrayLike<number>;
  /** Rater of each reading, 0 to raterCount − 1. */
  readonly rater: ArrayLike<number>;
  /** Class read, 0 to classCount − 1. */
  readonly kind: ArrayLike<number>;
  readonly unitCount: number;
}

/** What raters answered to items whose class is known, column by column. */
export interface KeyedAnswers {
  /** Item of each answer, 0 to itemCount − 1. */
  readonly item: ArrayLike<number>;
  readonly rater: ArrayLike<number>;
  /** True class of the item. */
  readonly key: ArrayLike<number>;
  readonly kind: ArrayLike<number>;
  readonly itemCount: number;
}

export interface CorrectedClass {
  /** Not cut: outside 0–1 where readings and answers do not fit together. */
  readonly raw: number;
  /** `raw` cut to 0–1. */
  readonly share: number;
  readonly se: number;
  readonly low: number | null;
  readonly high: number | null;
}

export interface MatrixMethodResult {
  readonly method: 'Matrix method: shares corrected by an estimated error matrix';
  /** Units with a reading. */
  readonly n: number;
  /** Share of each class as read. */
  readonly observed: readonly number[];
  /** Rows true class, columns class read: the raters' matrices weighted by what each read. */
  readonly matrix: readonly (readonly number[])[];
  /** `null` where a class is read right no more often than not. */
  readonly classes: readonly CorrectedClass[] | null;
  /** What each unit adds to the raw share of class `kind`, n times; by unit. */
  unitInfluence(kind: number): Float64Array;
  /** What each item's answers add to it; by item, 0 where no rater with a reading answered it. */
  itemInfluence(kind: number): Float64Array;
}

/**
 * True shares from shares as read and the readers' known errors: p = q·M⁻¹, where M holds how often each true class is
 * read as each class. For two classes this is the estimate of Rogan and Gladen, (q + Sp − 1)/(Se + Sp − 1).
 *
 * Source: B. A. Barron, Biometrics 33 (1977) 414-418; W. J. Rogan, B. Gladen, Am. J. Epidemiol. 107 (1978) 71-76.
 *
 * @param observed q, shares of the classes as read
 * @param matrix M, rows true class, columns class read, each row adding up to 1
 * @returns shares that add up as `observed` does, not cut to 0–1; `null` where M has no inverse
 */
export function sharesByMatrix(observed: readonly number[], matrix: readonly (readonly number[])[]): number[] | null {
  const inverse = invertMatrix(matrix);
  return inverse && rowTimes(observed, inverse);
}

const rowTimes = (row: readonly number[], matrix: readonly (readonly number[])[]): number[] =>
  matrix.map((_, j) => row.reduce((sum, value, k) => sum + value * matrix[k]![j]!, 0));

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]! * values[i]!;
  return sum;
}

const zeros = (rows: number, columns: number): number[][] =>
  Array.from({ length: rows }, () => new Array<number>(columns).fill(0));

/**
 * True shares of classes from readings with errors, the errors being known from items with a key that the same raters
 * answered.
 *
 * M_o: o's answers, rows key, divided by row sums; M = Σ g_o M_o with g_o the share of the readings' weight that is o's;
 * p = q·M⁻¹. The standard error adds what the units leave uncertain to what the items do; items count, not answers, since
 * all raters see the same ones. The interval of a class is that of Lang and Reiczigel, with the specificity found for the
 * mix of the other classes among these units.
 *
 * Only answers of raters with a reading count; each such rater must have answered at least one item of every class.
 * `null` without a reading. `classes` is `null` where a diagonal element of M is not above ½ (by 1e-9); above it M always
 * has an inverse. Cost linear in readings and answers.
 *
 * Source: B. A. Barron, Biometrics 33 (1977) 414-418; variance by the influence of each unit and each item.
 *
 * @throws RangeError for a rater with a reading but no answer to items of a class
 */
export function matrixMethod(
  readings: Readings,
  answers: KeyedAnswers,
  { raterCount, classCount }: { raterCount: number; classCount: number },
  level = 0.95,
): MatrixMethodResult | null {
  requireLevel(level);
  if (readings.unit.length === 0) return null;
  return new MatrixModel(readings, answers, raterCount, classCount).result(level);
}

class MatrixModel {
  readonly #readings: Readings;
  readonly #answers: KeyedAnswers;
  readonly #classCount: number;
  /** Readings of each unit. */
  readonly #perUnit: Int32Array;
  readonly #units: number;
  /** Share of each rater in the weight of the readings. */
  readonly #given: Float64Array;
  readonly #observed: number[];
  /** Answers of each rater: rows key, columns class answered; and the same divided by row sums. */
  readonly #counts: number[][][];
  readonly #errors: number[][][];
  readonly #matrix: number[][];
  #inverse: number[][] | null = null;
  #raw: number[] = [];

  constructor(readings: Readings, answers: KeyedAnswers, raterCount: number, classCount: number) {
    this.#readings = readings;
    this.#answers = answers;
    this.#classCount = classCount;
    this.#perUnit = new Int32Array(readings.unitCount);
    for (let i = 0; i < readings.unit.length; i++) this.#perUnit[readings.unit[i]!]!++;
    let units = 0;
    for (let i = 0; i < this.#perUnit.length; i++) if (this.#perUnit[i]! > 0) units++;
    this.#units = units;
    this.#given = new Float64Array(raterCount);
    this.#observed = new Array<number>(classCount).fill(0);
    for (let i = 0; i < readings.unit.length; i++) {
      const part = 1 / this.#perUnit[readings.unit[i]!]! / this.#units;
      this.#given[readings.rater[i]!]! += part;
      this.#observed[readings.kind[i]!]! += part;
    }
    this.#counts = Array.from({ length: raterCount }, () => zeros(classCount, classCount));
    for (let i = 0; i < answers.item.length; i++) {
      this.#counts[answers.rater[i]!]![answers.key[i]!]![answers.kind[i]!]! += 1;
    }
    this.#errors = this.#counts.map((table, rater) => this.#rowShares(table, rater));
    this.#matrix = zeros(classCount, classCount).map((row, k) =>
      row.map((_, j) => this.#errors.reduce((sum, table, rater) => sum + this.#given[rater]! * table[k]![j]!, 0)),
    );
  }

  #rowShares(table: readonly (readonly number[])[], rater: number): number[][] {
    return table.map((row, k) => {
      const total = row.reduce((sum, count) => sum + count, 0);
      if (total === 0 && this.#given[rater]! > 0) {
        throw new RangeError(`rater ${String(rater)} has readings but no answer to items of class ${String(k)}`);
      }
      return row.map((count) => (total === 0 ? 0 : count / total));
    });
  }

  result(level: number): MatrixMethodResult {
    const right = this.#matrix.every((row, k) => row[k]! > LEAST_RIGHT);
    this.#inverse = right ? invertMatrix(this.#matrix) : null;
    if (this.#inverse) this.#raw = rowTimes(this.#observed, this.#inverse);
    return Object.freeze({
      method: 'Matrix method: shares corrected by an estimated error matrix',
      n: this.#units,
      observed: this.#observed,
      matrix: this.#matrix,
      classes: this.#inverse && this.#classes(level),
      unitInfluence: (kind: number) => this.#unitInfluence(kind),
      itemInfluence: (kind: number) => this.#itemInfluence(kind),
    });
  }

  #classes(level: number): CorrectedClass[] {
    const cut = this.#raw.map((share) => Math.min(1, Math.max(0, share)));
    const items = this.#itemsOfClass();
    return cut.map((share, kind) => {
      const units = sumOfSquares(this.#unitInfluence(kind)) / this.#units ** 2;
      const se = Math.sqrt(units + sumOfSquares(this.#itemInfluence(kind)));
      const { low, high } = this.#interval(kind, cut, items, level);
      return Object.freeze({ raw: this.#raw[kind]!, share, se: se < ROUNDING ? 0 : se, low, high });
    });
  }

  /** Items of each class with an answer that counts. */
  #itemsOfClass(): number[] {
    const { item, rater, key, itemCount } = this.#answers;
    const met = new Uint8Array(itemCount);
    const items = new Array<number>(this.#classCount).fill(0);
    for (let i = 0; i < item.length; i++) {
      if (met[item[i]!] === 1 || this.#given[rater[i]!] === 0) continue;
      met[item[i]!] = 1;
      items[key[i]!]! += 1;
    }
    return items;
  }

  #interval(kind: number, cut: readonly number[], items: readonly number[], level: number) {
    const others = cut.flatMap((share, k) => (k === kind ? [] : [{ k, share }]));
    const total = others.reduce((sum, { share }) => sum + share, 0);
    const mix = others.map(({ k, share }) => ({ k, part: total > 0 ? share / total : 1 / others.length }));
    const wrong = mix.reduce((sum, { k, part }) => sum + part * this.#matrix[k]![kind]!, 0);
    const test = {
      positive: Math.min(1, this.#observed[kind]!),
      tested: this.#units,
      sensitivity: Math.min(1, this.#matrix[kind]![kind]!),
      sensitivityOf: items[kind]!,
      specificity: Math.max(0, 1 - wrong),
      specificityOf: 1 / mix.reduce((sum, { k, part }) => sum + (part * part) / items[k]!, 0),
    };
    return langReiczigelInterval(test, level);
  }

  /** By rater and class read: how far a reading lies from what the shares make that rater read, times the inverse. */
  #unitInfluence(kind: number): Float64Array {
    const inverse = this.#column(kind);
    const off = this.#errors.map((table) => {
      const expected = rowTimes(this.#raw, table);
      const shift = expected.reduce((sum, value, j) => sum + value * inverse[j]!, 0);
      return inverse.map((value) => value - shift);
    });
    const influence = new Float64Array(this.#readings.unitCount);
    const { unit, rater, kind: read } = this.#readings;
    for (let i = 0; i < unit.length; i++) influence[unit[i]!]! += off[rater[i]!]![read[i]!]! / this.#perUnit[unit[i]!]!;
    return influence;
  }

  #itemInfluence(kind: number): Float64Array {
    const inverse = this.#column(kind);
    const { item, rater, key, kind: answered, itemCount } = this.#answers;
    const influence = new Float64Array(itemCount);
    for (let i = 0; i < item.length; i++) {
      const given = this.#given[rater[i]!]!;
      if (given === 0) continue;
      const row = this.#errors[rater[i]!]![key[i]!]!;
      const answers = this.#counts[rater[i]!]![key[i]!]!.reduce((sum, count) => sum + count, 0);
      const expected = row.reduce((sum, value, j) => sum + value * inverse[j]!, 0);
      influence[item[i]!]! -= ((this.#raw[key[i]!]! * given) / answers) * (inverse[answered[i]!]! - expected);
    }
    return influence;
  }

  #column(kind: number): number[] {
    if (!this.#inverse) throw new RangeError('there is no estimate: a class is read right no more often than not');
    return this.#inverse.map((row) => row[kind]!);
  }
}
