import { forestMakers } from '../../findings/pool/pictures.ts';
import type { PersonAtRaces } from '../../findings/pool/seen-at-races.ts';
import { InSteps } from '../timing/in-steps.ts';
import { grownForests, type ShownForest } from './grown-forests.ts';
import type { SeasonResult } from './season-messages.ts';

/** Cells of people that are made at a time, and that stand without being asked for. */
const CELLS_AT_ONCE = 400;
const CELLS_AT_FIRST = 800;
const LEAST_PEOPLE = 5;
const MOST_PEOPLE = 40;

/** What stands on the page of the long parts of a season so far: two hundred races at once would hold up a tap. */
export class SeasonParts {
  #forests = $state.raw<readonly ShownForest[]>([]);
  #people = $state.raw<readonly PersonAtRaces[]>([]);
  #peopleMade = $state(0);
  #races = 1;
  readonly #steps = new InSteps();

  get forests() {
    return this.#forests;
  }
  /** Those of the people who are shown. */
  get people(): readonly PersonAtRaces[] {
    return this.#people.slice(0, this.#peopleMade);
  }

  /** Changes what stands to what a result says, and adds the rest, step by step. */
  show(result: SeasonResult): void {
    this.#people = result.people;
    this.#races = Math.max(1, result.deviceRaces.length);
    this.#steps.begin(this.#showing(result));
  }

  clear(): void {
    this.#steps.stop();
    this.#forests = [];
    this.#people = [];
  }

  /** Takes those of the people who come after the result. */
  addPeople(people: readonly PersonAtRaces[]): void {
    this.#people = [...this.#people, ...people];
  }

  showMorePeople(): void {
    this.#steps.finish();
    this.#steps.begin(this.#growingPeople(this.#peopleMade + 4 * this.#peopleAtFirst));
  }

  /** Makes all that is left at once, as for paper. */
  finish(): void {
    this.#steps.finish();
  }

  /** Drops what is left: the page is left. */
  stop(): void {
    this.#steps.stop();
  }

  get #peopleAtFirst(): number {
    return Math.max(LEAST_PEOPLE, Math.min(MOST_PEOPLE, Math.floor(CELLS_AT_FIRST / this.#races)));
  }

  *#showing({ pooled, level }: SeasonResult): Generator<void> {
    for (const forests of grownForests(this.#forests, pooled ? forestMakers(pooled, level) : [])) {
      this.#forests = forests;
      yield;
    }
    yield* this.#growingPeople(this.#peopleAtFirst);
  }

  *#growingPeople(wanted: number): Generator<void> {
    const atOnce = Math.max(1, Math.floor(CELLS_AT_ONCE / this.#races));
    while (this.#peopleMade < wanted) {
      this.#peopleMade = Math.min(wanted, this.#peopleMade + atOnce);
      yield;
    }
  }
}
