import { compareCodePoints } from '../../records/code-point-order.ts';
import { FOOT_OUTCOMES, OUTCOMES, type SeenOutcome } from '../../sightings/runner-classes.ts';
import type { ResolvedRace } from '../resolved-race.ts';
import type { CodedRace } from './runners-over-races.ts';

/** What a person was seen to be at one checkpoint. */
export interface SeenAtCheckpoint extends SeenOutcome {
  readonly checkpoint: string;
}

/** A person who was sighted in two races or more. */
export interface PersonAtRaces {
  readonly runner: string;
  /** By race, in the order given: what was seen at its checkpoints; `null` where the person was not sighted. */
  readonly races: readonly (readonly SeenAtCheckpoint[] | null)[];
}

/** Who was seen in two races or more and as what, for a coach to look at: by code point, no count and no rank. */
export function seenAtRaces(races: readonly CodedRace[]): PersonAtRaces[] {
  const persons = new Map<string, (readonly SeenAtCheckpoint[] | null)[]>();
  races.forEach(({ race, codeOfBib }, number) => {
    const { classes, table } = race;
    // What is alike is one object: a long season then goes to the page in a fraction of the time.
    const alike = new Map<number, SeenAtCheckpoint>();
    table.bibs.forEach((bib, place) => {
      const code = codeOfBib.get(bib);
      if (code === undefined) return;
      const seen: SeenAtCheckpoint[] = [];
      for (let i = classes.first[place]!; i < classes.first[place + 1]!; i += 1) {
        const key = [classes.outcome[i]!, classes.left[i]!, classes.right[i]!].reduce(
          (sum, value) => sum * OUTCOMES.length + value,
          classes.checkpoint[i]!,
        );
        const at = alike.get(key) ?? seenAt(race, i);
        alike.set(key, at);
        seen.push(at);
      }
      const known = persons.get(code) ?? races.map(() => null);
      known[number] = seen;
      persons.set(code, known);
    });
  });
  return [...persons]
    .filter(([, seen]) => seen.filter((at) => at !== null).length > 1)
    .sort(([a], [b]) => compareCodePoints(a, b))
    .map(([runner, seen]) => ({ runner, races: seen }));
}

const seenAt = ({ classes, table }: ResolvedRace, i: number): SeenAtCheckpoint => ({
  checkpoint: table.checkpoints[classes.checkpoint[i]!]!.name,
  outcome: OUTCOMES[classes.outcome[i]!]!,
  left: FOOT_OUTCOMES[classes.left[i]!]!,
  right: FOOT_OUTCOMES[classes.right[i]!]!,
});
