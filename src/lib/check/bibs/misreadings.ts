import { BibNeighbours, slipsBetween } from './bib-neighbours.ts';
import type { Candidate } from '../doubt.ts';
import { slipProbability, type ErrorTable, type Slip } from './error-table.ts';
import type { CheckedField } from '../times/checked-field.ts';
import { learnErrors, type Unexplained } from './learn-errors.ts';
import { MISREAD } from './misread-model.ts';

/** One way in which a sighting's bib may be wrong. Weights are comparable within one sighting, see `Misreadings`. */
export interface Misreading {
  /** Index of the bib that was meant. */
  readonly bib: number;
  readonly weight: number;
}

/** More unexplained sightings than this do not sharpen what is learnt of the errors. */
const LEARN_FROM = 2000;
const NOBODY: ReadonlySet<number> = new Set();

/**
 * Weighs who may have been meant by a sighting. The weight of a bib is the rate at which its runner passes here at this
 * time and is read like this: rate of misreadings × probability of this slip × whether the runner is still to be seen
 * here × density of the time given the runner's other times. Weights are per unit of log seconds, with the runner's
 * share of being seen at all taken out, so that they compare with `CheckedField.density` of a right reading.
 */
export class Misreadings {
  readonly #field: CheckedField;
  readonly #neighbours: BibNeighbours;
  /** What this race's own observers take for what. */
  readonly #errors: ErrorTable;

  constructor(field: CheckedField) {
    this.#field = field;
    this.#neighbours = new BibNeighbours(field.bibs.slice(0, field.listed));
    this.#errors = learnErrors(this.#unexplained(), this.#settled());
  }

  /** The sightings on no list, evenly taken where they are many: most of them are misreadings. */
  #unexplained(): Unexplained[] {
    const field = this.#field;
    if (!field.hasList) return [];
    const sightings: number[] = [];
    for (let bib = field.listed; bib < field.bibs.length; bib += 1) {
      const first = field.sightingsOf[bib]!.find((i) => field.sighting(i).method !== 'ruling');
      if (first !== undefined) sightings.push(first);
    }
    const step = Math.max(1, Math.ceil(sightings.length / LEARN_FROM));
    return sightings
      .filter((_, n) => n % step === 0)
      .map((sighting) => ({
        ways: this.#waysTo(sighting, NOBODY),
        rest: (this.stranger(sighting) + this.unnamed(sighting)) / MISREAD.rate,
      }));
  }

  /** What the lead and the observers themselves have put right, as slips where it is one. */
  #settled(): Slip[][] {
    return (this.#field.input.settledMisreads ?? []).map(({ read, meant }) => [...slipsBetween(meant, read)]);
  }

  #waysTo(sighting: number, apart: ReadonlySet<number>) {
    const field = this.#field;
    const { bib, checkpoint } = field.sighting(sighting);
    return this.#neighbours.slipsTo(bib!).map(({ bib: meant, slips }) => {
      const noFinish = field.input.results && Number.isNaN(field.finishSeconds[meant]!) ? MISREAD.noFinish : 1;
      return { bib: meant, slips, weight: noFinish * this.#timeHere(sighting, meant, checkpoint, apart) };
    });
  }

  /** @param apart sightings (indices) that do not count as the candidate's own, such as those in question */
  of(sighting: number, apart: ReadonlySet<number> = NOBODY): Misreading[] {
    if (this.#field.sighting(sighting).bib === null) return [];
    return this.#waysTo(sighting, apart).map(({ bib, slips, weight }) => {
      const probability = slips.reduce((sum, slip) => sum + slipProbability(this.#errors, slip), 0);
      return { bib, weight: MISREAD.rate * probability * weight };
    });
  }

  /** The weight of someone who is on no list and bears this very number. */
  stranger(sighting: number): number {
    const field = this.#field;
    const { bib, checkpoint } = field.sighting(sighting);
    const numbers = Math.max(10 ** (bib?.length ?? 1), field.listed);
    const seconds = field.elapsed[sighting]!;
    const density = Number.isNaN(seconds) ? 1 : field.fieldDensity(checkpoint, Math.log(Math.max(seconds, 1)));
    return MISREAD.strangerRate * (field.listed / numbers) * density;
  }

  /** The weight of anybody whose bib was misread by more than one slip, and so can be anyone's. */
  unnamed(sighting: number): number {
    const field = this.#field;
    const { checkpoint } = field.sighting(sighting);
    const oneSlip = MISREAD.oneDigit + MISREAD.swapped + MISREAD.dropped + MISREAD.added;
    const seconds = field.elapsed[sighting]!;
    const density = Number.isNaN(seconds) ? 1 : field.fieldDensity(checkpoint, Math.log(Math.max(seconds, 1)));
    return MISREAD.rate * (1 - oneSlip) * density;
  }

  /** The runner's chance to pass here now unseen by this observer, as a density over log seconds. */
  #timeHere(sighting: number, meant: number, checkpoint: number, apart: ReadonlySet<number>): number {
    const field = this.#field;
    const record = field.sighting(sighting);
    const timed = !Number.isNaN(field.elapsed[sighting]!);
    const seconds = timed ? field.elapsedFor(meant, sighting) : Number.NaN;
    let density = !timed ? 1 : seconds <= 0 ? 0 : field.density(meant, checkpoint, Math.log(seconds));
    // Kept apart: it counts whatever others saw, and in whatever order the records stand.
    let seenBySame = 1;
    for (const other of field.sightingsAt(meant, checkpoint)) {
      const its = field.sighting(other);
      if (apart.has(other) || its.method === 'ruling') continue;
      if (its.observer === record.observer && its.method === record.method) {
        seenBySame *= MISREAD.seenHereBySame;
      } else if (timed && !Number.isNaN(field.elapsed[other]!)) {
        // Somebody else has the runner here: at the same moment that speaks for the candidate, else against.
        const sd = field.observersApartSeconds / Math.max(seconds, 1);
        const z = (Math.log(Math.max(seconds, 1)) - Math.log(Math.max(field.elapsed[other]!, 1))) / sd;
        const agree = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
        density = MISREAD.seenHereByOther * agree + MISREAD.seenHereBySame * density;
      }
    }
    return seenBySame * density;
  }
}

/** Candidates of one doubt; a longer list helps nobody. */
const MOST_CANDIDATES = 8;
/** Below this probability a candidate is noise and not named (a bound of our own, no source). */
const LEAST_PROBABILITY = 0.02;

interface Way {
  readonly bib: number;
  readonly weight: number;
  /** The record (index) that would be corrected. */
  readonly sighting: number;
}

/**
 * Turns weights into the candidates of a doubt. With several records in question a bib may be there for each of them.
 *
 * @param ways what was meant and how likely, relative to `rest`
 * @param rest weight of everything else: that the reading is right, or that somebody else was meant
 * @param others records (indices) that would be corrected together with it
 */
export function candidatesOf(
  field: CheckedField,
  ways: readonly Way[],
  rest: number,
  others: readonly number[] = [],
): Candidate[] {
  const total = ways.reduce((sum, way) => sum + way.weight, rest);
  if (!(total > 0)) return [];
  return [...ways]
    .filter((way) => way.weight >= LEAST_PROBABILITY * total)
    .sort((a, b) => b.weight - a.weight || a.bib - b.bib)
    .slice(0, MOST_CANDIDATES)
    .map(({ bib, weight, sighting }) => {
      const { checkpoint } = field.sighting(sighting);
      const seconds = field.elapsed[sighting]!;
      const expected = Number.isNaN(seconds) ? null : field.expect(bib, checkpoint);
      return {
        bib: field.bibs[bib]!,
        probability: Math.round((weight / total) * 1e6) / 1e6,
        records: [sighting, ...others].map((i) => field.sighting(i).id),
        offSeconds: expected === null ? null : field.elapsedFor(bib, sighting) - Math.exp(expected.mean),
        seenHere: field.sightingsOf[bib]!.some((i) => field.sighting(i).checkpoint === checkpoint),
      };
    });
}
