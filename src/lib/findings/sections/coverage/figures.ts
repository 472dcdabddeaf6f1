import { isClassified, REARFOOT } from '../../../sightings/runner-classes.ts';
import { standardisedProportion } from '../../../stats/proportions/standardised-proportion.ts';
import type { Field } from '../../field.ts';
import { quarterOf, quartersOf } from '../finish/finish-quarters.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

export interface StandardisedShare {
  share: number;
  low: number | null;
  high: number | null;
  /** Limits that also hold where a quarter has no rearfoot runner or no other: sentences take these. */
  scoreLow: number;
  scoreHigh: number;
}

export interface CheckpointCoverage {
  checkpoint: string;
  /** Finishers classified there. */
  sighted: number;
  share: number | null;
  /** Finishers classified there by quarter of all finish times, fastest first. */
  quarters: number[];
  /** Their shares of all finishers in the quarter. */
  quarterShare: (number | null)[];
  standardisedRearfoot: StandardisedShare | null;
}

export interface Coverage {
  finishers: number;
  checkpoints: CheckpointCoverage[];
}

const QUARTERS = 4;

/** The finish times of all who have one, in the order of the results. */
function finishTimes({ rows }: Field): Float64Array {
  const times = new Float64Array(rows.length);
  let size = 0;
  for (const { finish } of rows) if (finish !== undefined) times[size++] = finish;
  return times.subarray(0, size);
}

/** How far the classified runners of each checkpoint stand for all finishers: by quarters of all finish times. */
export function coverageOf({ table, classes }: ResolvedRace, field: Field, level: number): Coverage {
  const times = finishTimes(field);
  const cuts = quartersOf(times);
  const population = new Array<number>(QUARTERS).fill(0);
  if (cuts) for (const time of times) population[quarterOf(time, cuts)]! += 1;

  const places = table.checkpoints.length;
  const sampled = new Int32Array(places * QUARTERS);
  const rearfoot = new Int32Array(places * QUARTERS);
  for (let i = 0; i < classes.size; i += 1) {
    if (!cuts || !isClassified(classes.outcome[i]!)) continue;
    const finish = field.rows[field.rowOfBib[classes.bib[i]!]!]?.finish;
    if (finish === undefined) continue;
    const at = classes.checkpoint[i]! * QUARTERS + quarterOf(finish, cuts);
    sampled[at]! += 1;
    if (classes.outcome[i] === REARFOOT) rearfoot[at]! += 1;
  }
  return {
    finishers: times.length,
    checkpoints: table.checkpoints.map(({ name }, place) => {
      const quarters = [...sampled.subarray(place * QUARTERS, (place + 1) * QUARTERS)];
      const sighted = quarters.reduce((sum, count) => sum + count, 0);
      const { share, low, high, scoreLow, scoreHigh } = standardisedProportion(
        quarters.map((count, quarter) => ({
          population: population[quarter]!,
          sampled: count,
          successes: rearfoot[place * QUARTERS + quarter]!,
        })),
        level,
      );
      return {
        checkpoint: name,
        sighted,
        share: times.length > 0 ? sighted / times.length : null,
        quarters,
        quarterShare: quarters.map((count, quarter) =>
          population[quarter]! > 0 ? count / population[quarter]! : null,
        ),
        standardisedRearfoot:
          share === null || scoreLow === null || scoreHigh === null ? null : { share, low, high, scoreLow, scoreHigh },
      };
    }),
  };
}
