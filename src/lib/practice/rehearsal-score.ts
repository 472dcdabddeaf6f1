import { FOOT_CLASSES, type Foot } from '../records/foot.ts';
import type { SeenRunner } from '../records/seen-runner.ts';
import type { PackPlace, Passing } from './rehearsal-script.ts';

/** A sighting as it stands after corrections and withdrawals. */
export interface RehearsedSighting extends SeenRunner {
  /** Let pass by the rule: counted, not classed. */
  readonly passed: boolean;
  /** Milliseconds from the beginning. */
  readonly atMs: number;
}

export interface PartScore {
  readonly passed: number;
  readonly classed: number;
}

/** How an observer did, against the script of who passed. */
export interface RehearsalScore {
  readonly passed: number;
  /** Runners with a class for both feet, under whatever bib. */
  readonly classed: number;
  /** Runners who were tallied with a foot not seen. */
  readonly partly: number;
  /** Runners of whom nothing was tallied. */
  readonly missed: number;
  /** Runners whom the rule asked for, and those of them classed; `null` where nobody can tell who that was. */
  readonly due: PartScore | null;
  /** Runners of whom nothing was tallied though they were due. */
  readonly dueMissed: number | null;
  /** Runners let pass by the rule, as the observer tapped it. */
  readonly letPass: number;
  readonly bibs: { readonly right: number; readonly wrong: number; readonly none: number };
  readonly feet: { readonly right: number; readonly wrong: number; readonly unseen: number };
  /** Sightings of nobody who passed. */
  readonly strangers: number;
  /** Each wrong bib: what was tallied and who it was. */
  readonly wrongBibs: readonly { readonly tallied: string; readonly was: string }[];
  /** Median time from passing to the first foot tap, milliseconds. */
  readonly lagMs: number | null;
  /** Where attention went. */
  readonly places: Readonly<Record<PackPlace, PartScore>>;
  readonly minutes: readonly PartScore[];
  readonly sides: Readonly<Record<'near' | 'far', { readonly right: number; readonly of: number }>>;
}

/** A sighting without the right bib is of a runner who passed no longer before than this, milliseconds. */
const LONGEST_LAG_MS = 20_000;
/** Feet may be tapped a little before the hip is abreast. */
const EARLIEST_MS = -2000;

/**
 * Scores a rehearsal. A sighting belongs to the runner whose bib it has; one whose bib nobody wears, or was tallied before, to
 * the runner still without a sighting who passed last before it, and then its bib is wrong.
 *
 * @param near which foot is nearer the observer
 * @param isDue whom the rule asks for; `null` where that cannot be told
 */
export function rehearsalScore(
  script: readonly Passing[],
  sightings: readonly RehearsedSighting[],
  near: 'left' | 'right',
  isDue: ((passing: Passing) => boolean) | null = () => true,
): RehearsalScore {
  const letPass = sightings.filter(({ passed }) => passed).length;
  const { pairs, strangers } = match(
    script,
    sightings.filter(({ passed }) => !passed),
  );
  const seen = [...pairs].map(([passing, sighting]) => ({ passing, sighting }));
  const classed = new Set(seen.filter(({ sighting }) => isClassed(sighting)).map(({ passing }) => passing));
  const part = (of: readonly Passing[]): PartScore => ({
    passed: of.length,
    classed: of.filter((passing) => classed.has(passing)).length,
  });
  // Attention that the rule did not ask for is not missing.
  const asked = isDue ? script.filter(isDue) : script;
  const place = (name: PackPlace): PartScore => part(asked.filter((passing) => passing.place === name));
  const due = isDue && asked;
  const wrongBibs = seen
    .filter(({ passing, sighting }) => sighting.bib !== null && sighting.bib !== passing.bib)
    .map(({ passing, sighting }) => ({ tallied: sighting.bib!, was: passing.bib }));
  return {
    passed: script.length,
    classed: classed.size,
    partly: seen.length - classed.size,
    missed: script.length - seen.length,
    due: due && part(due),
    dueMissed: due && due.filter((passing) => !pairs.has(passing)).length,
    letPass,
    bibs: {
      right: seen.filter(({ passing, sighting }) => sighting.bib === passing.bib).length,
      wrong: wrongBibs.length,
      none: seen.filter(({ sighting }) => sighting.bib === null).length,
    },
    feet: countFeet(seen),
    strangers,
    wrongBibs,
    lagMs: median(seen.map(({ passing, sighting }) => sighting.atMs - passing.atMs)),
    places: { alone: place('alone'), first: place('first'), behind: place('behind') },
    minutes: byMinute(asked).map(part),
    sides: { near: side(seen, near), far: side(seen, near === 'left' ? 'right' : 'left') },
  };
}

interface Seen {
  readonly passing: Passing;
  readonly sighting: RehearsedSighting;
}

const isClass = (foot: Foot): boolean => FOOT_CLASSES.some((name) => name === foot);
const isClassed = ({ left, right }: RehearsedSighting): boolean => isClass(left) && isClass(right);

function match(script: readonly Passing[], sightings: readonly RehearsedSighting[]) {
  const byBib = new Map(script.map((passing) => [passing.bib, passing]));
  const pairs = new Map<Passing, RehearsedSighting>();
  const rest: RehearsedSighting[] = [];
  const inOrder = [...sightings].sort((a, b) => a.atMs - b.atMs);
  for (const sighting of inOrder) {
    const passing = sighting.bib === null ? undefined : byBib.get(sighting.bib);
    // A bib that is worn by someone who comes much later was misread.
    const possible = passing !== undefined && sighting.atMs - passing.atMs >= EARLIEST_MS;
    if (possible && !pairs.has(passing)) pairs.set(passing, sighting);
    else rest.push(sighting);
  }
  let strangers = 0;
  for (const sighting of rest) {
    const passing = lastBefore(script, sighting.atMs, pairs);
    if (passing) pairs.set(passing, sighting);
    else strangers += 1;
  }
  return { pairs, strangers };
}

/** The runner without a sighting who passed last before an instant; where nobody has, the one who is about to. */
function lastBefore(
  script: readonly Passing[],
  atMs: number,
  pairs: ReadonlyMap<Passing, RehearsedSighting>,
): Passing | undefined {
  const inReach = script.filter((passing) => {
    const lag = atMs - passing.atMs;
    return lag >= EARLIEST_MS && lag <= LONGEST_LAG_MS && !pairs.has(passing);
  });
  return inReach.findLast((passing) => passing.atMs <= atMs) ?? inReach[0];
}

function countFeet(seen: readonly Seen[]): RehearsalScore['feet'] {
  const feet = { right: 0, wrong: 0, unseen: 0 };
  for (const { passing, sighting } of seen) {
    for (const foot of ['left', 'right'] as const) {
      if (!isClass(sighting[foot])) feet.unseen += 1;
      else if (sighting[foot] === passing[foot]) feet.right += 1;
      else feet.wrong += 1;
    }
  }
  return feet;
}

function side(seen: readonly Seen[], foot: 'left' | 'right'): { right: number; of: number } {
  const told = seen.filter(({ sighting }) => isClass(sighting[foot]));
  return { right: told.filter(({ passing, sighting }) => sighting[foot] === passing[foot]).length, of: told.length };
}

function byMinute(script: readonly Passing[]): Passing[][] {
  const minutes: Passing[][] = [];
  for (const passing of script) (minutes[Math.floor(passing.atMs / 60_000)] ??= []).push(passing);
  return Array.from(minutes, (minute) => minute ?? []);
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
