import { compareCodePoints } from '../../records/code-point-order.ts';
import { RUNNER_CLASSES } from '../../records/foot.ts';
import { isClassified, OUTCOMES, REARFOOT } from '../../sightings/runner-classes.ts';
import { exchangeableGee, type NoGeeEstimate } from '../../stats/paired/exchangeable-gee.ts';
import type { Trend } from '../sections/shift/figures.ts';
import { recordBy } from '../record-by.ts';
import type { ResolvedRace } from '../resolved-race.ts';
import type { RunnerHistory, RunnersOverRaces } from './pooled.ts';

const KM_PER_UNIT = 10;

/** A race with the codes that its results or start list have for bibs. */
export interface CodedRace {
  readonly race: ResolvedRace;
  /** No code twice; bibs without a code are not there. */
  readonly codeOfBib: ReadonlyMap<string, string>;
  /** Places of the two checkpoints in the table; `null` with a single one. */
  readonly shift: { readonly early: number; readonly late: number } | null;
}

export interface RunnersFound {
  readonly runners: RunnersOverRaces;
  /** Why the trend has no estimate, for the notes. */
  readonly trendReason: NoGeeEstimate | null;
}

/** What is known of one person, race by race. */
class Person {
  readonly racesSighted = new Set<number>();
  readonly racesClassified = new Set<number>();
  readonly outcomes = new Int32Array(OUTCOMES.length);
  readonly pairs = { stayedRearfoot: 0, gained: 0, lost: 0, stayedOther: 0 };

  takePair(before: number, after: number): void {
    const was = before === REARFOOT;
    const is = after === REARFOOT;
    this.pairs[was ? (is ? 'stayedRearfoot' : 'lost') : is ? 'gained' : 'stayedOther'] += 1;
  }

  history(runner: string): RunnerHistory {
    const count = (outcome: (typeof OUTCOMES)[number]): number => this.outcomes[OUTCOMES.indexOf(outcome)]!;
    return {
      runner,
      races: this.racesSighted.size,
      classes: recordBy(RUNNER_CLASSES, count),
      unclassified: count('unclassified'),
      disputed: count('disputed'),
      walking: count('walking'),
      pairs: { ...this.pairs },
    };
  }
}

/**
 * People over races, race after race: who was seen in more than one, and the trend within races with persons as clusters.
 * Nothing of a race is held but its counts; linear in sightings.
 */
export class RunnersOverRacesCounter {
  readonly #persons = new Map<string, Person>();
  readonly #observations = new Observations();
  #races = 0;

  /** Races come in the order in which they are printed. */
  add(coded: CodedRace): void {
    const race = this.#races++;
    const { table, classes } = coded.race;
    const covariateOf = covariates(coded.race);
    table.bibs.forEach((bib, place) => {
      const code = coded.codeOfBib.get(bib);
      const person = code === undefined ? null : personOf(this.#persons, code);
      person?.racesSighted.add(race);
      this.#observations.beginRunner(code ?? null);
      for (let i = classes.first[place]!; i < classes.first[place + 1]!; i += 1) {
        const outcome = classes.outcome[i]!;
        if (person) person.outcomes[outcome]! += 1;
        if (!isClassified(outcome)) continue;
        person?.racesClassified.add(race);
        this.#observations.add(outcome === REARFOOT ? 1 : 0, covariateOf[classes.checkpoint[i]!]!);
      }
      if (person && coded.shift) takePair(person, coded.race, coded.shift, place);
    });
  }

  /** What the races so far say of people. */
  found(level: number): RunnersFound {
    const ordered = [...this.#persons].sort(([a], [b]) => compareCodePoints(a, b));
    const { trend, reason } = this.#observations.trend(level);
    return {
      runners: {
        coded: ordered.length,
        linked: ordered.filter(([, person]) => person.racesClassified.size > 1).length,
        trend,
        history: ordered
          .filter(([, person]) => person.racesSighted.size > 1)
          .map(([code, person]) => person.history(code)),
      },
      trendReason: reason,
    };
  }
}

function personOf(persons: Map<string, Person>, code: string): Person {
  const known = persons.get(code);
  if (known) return known;
  const person = new Person();
  persons.set(code, person);
  return person;
}

function takePair(
  person: Person,
  { classes }: ResolvedRace,
  { early, late }: { readonly early: number; readonly late: number },
  place: number,
): void {
  let [before, after] = [-1, -1];
  for (let i = classes.first[place]!; i < classes.first[place + 1]!; i += 1) {
    if (!isClassified(classes.outcome[i]!)) continue;
    if (classes.checkpoint[i] === early) before = classes.outcome[i]!;
    if (classes.checkpoint[i] === late) after = classes.outcome[i]!;
  }
  if (before >= 0 && after >= 0) person.takePair(before, after);
}

/** By checkpoint: km less the mean km of the race's classified runners, per 10 km; 0 where they were at one km only. */
function covariates({ table, classes }: ResolvedRace): number[] {
  let [total, count] = [0, 0];
  const kms = new Set<number>();
  for (let i = 0; i < classes.size; i += 1) {
    if (!isClassified(classes.outcome[i]!)) continue;
    const { km } = table.checkpoints[classes.checkpoint[i]!]!;
    total += km;
    count += 1;
    kms.add(km);
  }
  return table.checkpoints.map(({ km }) => (kms.size < 2 ? 0 : (km - total / count) / KM_PER_UNIT));
}

/** Classifications of all races with the person they are of; a bib without a code is a person of its own. */
class Observations {
  readonly #outcome: number[] = [];
  readonly #covariate: number[] = [];
  readonly #cluster: number[] = [];
  readonly #clusterOfCode = new Map<string, number>();
  #clusters = 0;
  #current = 0;

  beginRunner(code: string | null): void {
    const known = code === null ? undefined : this.#clusterOfCode.get(code);
    this.#current = known ?? this.#clusters++;
    if (code !== null) this.#clusterOfCode.set(code, this.#current);
  }

  add(outcome: number, covariate: number): void {
    this.#outcome.push(outcome);
    this.#covariate.push(covariate);
    this.#cluster.push(this.#current);
  }

  trend(level: number): { trend: Trend; reason: NoGeeEstimate | null } {
    const fit = exchangeableGee(
      {
        outcome: this.#outcome,
        covariate: this.#covariate,
        cluster: this.#cluster,
        clusterCount: this.#clusters,
      },
      level,
    );
    const { clusters, observations, intercept, coefficient, se, z, p, oddsRatio, low, high, alpha, reason } = fit;
    return {
      trend: { clusters, observations, intercept, coefficient, se, z, p, oddsRatio, low, high, alpha },
      reason,
    };
  }
}
