import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import { firstSeen } from '../../../sightings/first-seen.ts';
import {
  FOOT_OUTCOMES,
  isClassified,
  OUTCOMES,
  REARFOOT,
  type SeenOutcome,
} from '../../../sightings/runner-classes.ts';
import { newcombePairedInterval } from '../../../stats/paired/newcombe-paired-interval.ts';
import { wilsonInterval } from '../../../stats/proportions/wilson-interval.ts';
import type { RaceInFocus } from '../../race-in-focus.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** Fewer classified runners than this and a squad's share is hardly worth printing (common practice, no source). */
export const SMALL_SQUAD = 10;

/** One runner of a squad at one checkpoint. */
export interface SquadSighting extends SeenOutcome {
  /** When the runner was first sighted there, milliseconds since 1970; `null` where a ruling alone says so. */
  readonly atMs: number | null;
}

export interface SquadRunner {
  readonly bib: string;
  /** By checkpoint in the table's order; `null` where not sighted. */
  readonly sightings: readonly (SquadSighting | null)[];
  /** Seconds; `null` without a finish. */
  readonly finish: number | null;
}

/** A share of runners with its interval. */
export interface SquadShare {
  readonly checkpoint: string;
  readonly group: 'squad' | 'rest';
  readonly classified: number;
  readonly classes: Readonly<Record<RunnerClass, number>>;
  readonly low: number | null;
  readonly high: number | null;
}

/** Change of the rearfoot share in the runners classified at both checkpoints. */
export interface SquadChange {
  readonly group: 'squad' | 'rest';
  readonly paired: number;
  readonly gained: number;
  readonly lost: number;
  readonly difference: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface Squad {
  /** In the order of their bibs: nobody is ranked. */
  readonly runners: readonly SquadRunner[];
  /** Bibs asked for that were sighted nowhere. */
  readonly notSighted: readonly string[];
  readonly checkpoints: readonly { readonly name: string; readonly km: number }[];
  readonly shares: readonly SquadShare[];
  readonly changes: readonly SquadChange[];
}

/** The runners with these bibs, and how they stand against all others. */
export function squadOf({ race, field, early, late, level }: RaceInFocus, bibs: readonly string[]): Squad {
  const { table, used, classes } = race;
  const wanted = new Set(bibs);
  const member = Uint8Array.from(table.bibs, (bib) => (wanted.has(bib) ? 1 : 0));
  const seenAtMs = firstSeen(table, used);
  const places = table.checkpoints.length;
  const runners: SquadRunner[] = [];
  table.bibs.forEach((bib, place) => {
    if (!member[place]) return;
    const sightings: (SquadSighting | null)[] = table.checkpoints.map(() => null);
    for (let i = classes.first[place]!; i < classes.first[place + 1]!; i += 1) {
      const checkpoint = classes.checkpoint[i]!;
      sightings[checkpoint] = {
        outcome: OUTCOMES[classes.outcome[i]!]!,
        left: FOOT_OUTCOMES[classes.left[i]!]!,
        right: FOOT_OUTCOMES[classes.right[i]!]!,
        atMs: seenAtMs.get(place * places + checkpoint) ?? null,
      };
    }
    runners.push({ bib, sightings, finish: field?.rows[field.rowOfBib[place]!]?.finish ?? null });
  });
  const sighted = new Set(runners.map((runner) => runner.bib));
  const both = early === late ? [early] : [early, late];
  return {
    runners,
    notSighted: [...wanted].filter((bib) => !sighted.has(bib)),
    checkpoints: table.checkpoints,
    shares: both.flatMap((checkpoint) => [
      shareAt(race, member, 1, checkpoint, level),
      shareAt(race, member, 0, checkpoint, level),
    ]),
    changes:
      early === late
        ? []
        : [changeOf(race, member, 1, early, late, level), changeOf(race, member, 0, early, late, level)],
  };
}

const groupName = (inside: 0 | 1): SquadShare['group'] => (inside ? 'squad' : 'rest');

/** @param member for each bib 1 in the squad, 0 in the rest of the field; any other number: not counted */
export function shareAt(
  { table, classes }: ResolvedRace,
  member: Uint8Array,
  inside: 0 | 1,
  checkpoint: number,
  level: number,
): SquadShare {
  const counts = RUNNER_CLASSES.map(() => 0);
  for (let i = 0; i < classes.size; i += 1) {
    if (classes.checkpoint[i] !== checkpoint || member[classes.bib[i]!] !== inside) continue;
    if (isClassified(classes.outcome[i]!)) counts[classes.outcome[i]!]! += 1;
  }
  const classified = counts.reduce((sum, n) => sum + n, 0);
  const { low, high } = wilsonInterval(counts[REARFOOT]!, classified, level);
  return {
    checkpoint: table.checkpoints[checkpoint]!.name,
    group: groupName(inside),
    classified,
    classes: Object.fromEntries(RUNNER_CLASSES.map((name, i) => [name, counts[i]!])) as Record<RunnerClass, number>,
    low,
    high,
  };
}

/** @param member as in `shareAt` */
export function changeOf(
  { table, classes }: ResolvedRace,
  member: Uint8Array,
  inside: 0 | 1,
  early: number,
  late: number,
  level: number,
): SquadChange {
  const pairs = { both: 0, gained: 0, lost: 0, neither: 0 };
  for (let bib = 0; bib < table.bibs.length; bib += 1) {
    if (member[bib] !== inside) continue;
    let [before, after] = [-1, -1];
    for (let i = classes.first[bib]!; i < classes.first[bib + 1]!; i += 1) {
      if (!isClassified(classes.outcome[i]!)) continue;
      if (classes.checkpoint[i] === early) before = classes.outcome[i]!;
      if (classes.checkpoint[i] === late) after = classes.outcome[i]!;
    }
    if (before < 0 || after < 0) continue;
    if (before === REARFOOT) pairs[after === REARFOOT ? 'both' : 'lost'] += 1;
    else pairs[after === REARFOOT ? 'gained' : 'neither'] += 1;
  }
  const { n, difference, low, high } = newcombePairedInterval(pairs, level);
  return { group: groupName(inside), paired: n, gained: pairs.gained, lost: pairs.lost, difference, low, high };
}

/** The runners in the order of their finish, those without one last, by bib. */
export function byFinish(runners: readonly SquadRunner[]): SquadRunner[] {
  return runners.toSorted((a, b) => (a.finish ?? Infinity) - (b.finish ?? Infinity) || (a.bib < b.bib ? -1 : 1));
}
