import { compareCodePoints } from '../records/code-point-order.ts';
import { DEMO_RACE, demoField, shuffled, type DemoRunner } from './demo-field.ts';
import { DemoTablet } from './demo-tablet.ts';
import type { Foot } from '../records/foot.ts';
import { lookAlikes } from '../race/look-alike-characters.ts';
import type { Race, ResultRow, StartListRow } from '../race/race.ts';
import type { Sighting, TallyRecord } from '../records/record.ts';
import { normalDraw, seededRandom, type Random } from '../records/seeded-random.ts';

/** What was put wrong on purpose, so that Check has something to find. */
export interface DemoPlants {
  /** A bib with one digit read as one that looks like it; nobody on the start list has it. */
  misread: { record: string; written: string; right: string };
  /** A bib with two neighbouring digits changed about; nobody on the start list has it. */
  swapped: { record: string; written: string; right: string };
  /** Two observers at one checkpoint gave one runner different classes, and no clip settles it. */
  dispute: { checkpoint: string; bib: string; records: [string, string] };
  /** The tablet of one observer runs ahead by this much all day. */
  clock: { device: string; observer: string; aheadMs: number };
  /** One observer wrote the same runner at the same checkpoint twice, seconds apart. */
  double: { checkpoint: string; bib: string; records: [string, string] };
}

export interface DemoRaceData {
  race: Race;
  startList: StartListRow[];
  results: ResultRow[];
  /** In order of their ids. */
  records: TallyRecord[];
  plants: DemoPlants;
}

/** The seed of the demo race that the app opens. */
export const DEMO_SEED = 20261004;
const CLOCK_AHEAD_MS = 90_000;

type Feet = readonly [left: Foot, right: Foot];

/** What a runner's feet do at one checkpoint. */
type Truth = { walks: true } | { walks: false; feet: Feet };

const EARLY = 'old-pier';
const LATE = 'quarry-hill';

function trueFeetEarly(random: Random, runner: DemoRunner): Feet {
  // Fewer land on the heel at the front of the race; nine in ten do over the whole field.
  const rearfoot = Math.min(0.96, 0.9 + 0.28 * (runner.slowness - 1));
  const draw = random();
  if (draw < rearfoot) return ['rearfoot', 'rearfoot'];
  const other = (draw - rearfoot) / (1 - rearfoot);
  if (other < 0.5) return ['midfoot', 'midfoot'];
  if (other < 0.7) return ['forefoot', 'forefoot'];
  return random() < 0.5 ? ['rearfoot', 'midfoot'] : ['midfoot', 'rearfoot'];
}

function trueFeetLate(random: Random, early: Feet): Feet {
  const draw = random();
  if (early[0] === 'rearfoot' && early[1] === 'rearfoot') return draw < 0.015 ? ['midfoot', 'midfoot'] : early;
  if (draw < 0.5) return ['rearfoot', 'rearfoot'];
  return early[0] === 'forefoot' && draw < 0.65 ? ['midfoot', 'midfoot'] : early;
}

/** What an eye makes of it: a slip takes a class for its neighbour, mostly on both feet alike; the far foot hides more. */
function seenFeet(random: Random, feet: Feet, nearFoot: 'left' | 'right', slip: number): Feet {
  const neighbour: Readonly<Record<Foot, Foot>> = {
    rearfoot: 'midfoot',
    midfoot: random() < 0.5 ? 'rearfoot' : 'forefoot',
    forefoot: 'midfoot',
    unseen: 'unseen',
  };
  const scale = (foot: Foot) => (foot === 'rearfoot' ? 1 : 4) * slip;
  const whole = random() < scale(feet[0]) * 0.6;
  return feet.map((foot, i): Foot => {
    const near = (i === 0) === (nearFoot === 'left');
    if (!near && random() < 0.025) return 'unseen';
    const alone = random() < scale(foot) * (near ? 0.15 : 0.4);
    return whole !== alone ? neighbour[foot] : foot;
  }) as unknown as Feet;
}

const feetEqual = (a: Pick<Sighting, 'left' | 'right'>, b: Pick<Sighting, 'left' | 'right'>) =>
  (['left', 'right'] as const).every((side) => a[side] === b[side] || a[side] === 'unseen' || b[side] === 'unseen');

/** One observer's morning: while the fingers are busy with one runner, others pass untallied. */
function watch(
  random: Random,
  field: readonly DemoRunner[],
  checkpoint: string,
  busyMs: number,
  see: (runner: DemoRunner, atMs: number) => void,
): void {
  const passing = field
    .filter((runner) => runner.passesAtMs.has(checkpoint))
    .sort((a, b) => a.passesAtMs.get(checkpoint)! - b.passesAtMs.get(checkpoint)!);
  let freeAtMs = -Infinity;
  for (const runner of passing) {
    const atMs = runner.passesAtMs.get(checkpoint)!;
    // Packs hide some even from a free observer.
    if (atMs < freeAtMs || random() < 0.08) continue;
    freeAtMs = atMs + Math.max(900, normalDraw(random, busyMs, 500));
    see(runner, atMs);
  }
}

/**
 * Invents the demo race: about 1,200 starters, a pair of observers at 10 km and one at 32 km, some of it looked at again in
 * clips, about nine in ten landing on the rearfoot early and a few more late, and five things wrong on purpose. The same
 * seed gives the same race to the letter.
 */
export function demoRace(seed = DEMO_SEED): DemoRaceData {
  const random = seededRandom(seed);
  const field = demoField(random);
  const truths = new Map<string, Map<string, Truth>>();
  for (const runner of field) {
    const early = trueFeetEarly(random, runner);
    const late = trueFeetLate(random, early);
    const walksLate = random() < Math.max(0, 0.05 + 0.35 * (runner.slowness - 1));
    truths.set(
      runner.bib,
      new Map<string, Truth>([
        [EARLY, { walks: false, feet: early }],
        [LATE, walksLate ? { walks: true } : { walks: false, feet: late }],
      ]),
    );
  }
  const tablets = {
    a1: new DemoTablet(random, 'A1', 0),
    a2: new DemoTablet(random, 'A2', CLOCK_AHEAD_MS),
    b1: new DemoTablet(random, 'B1', 0),
    desk: new DemoTablet(random, 'A1', 0),
  };
  const bibs = new Set(field.map((runner) => runner.bib));
  const look = (
    tablet: DemoTablet,
    checkpoint: string,
    near: 'left' | 'right',
    busyMs: number,
  ): Map<string, number> => {
    const sightingOf = new Map<string, number>();
    watch(random, field, checkpoint, busyMs, (runner, atMs) => {
      const truth = truths.get(runner.bib)!.get(checkpoint)!;
      const bib = random() < 0.006 ? null : runner.bib;
      const at = truth.walks
        ? tablet.tally({ checkpoint, bib, gait: 'walk', left: 'unseen', right: 'unseen' }, atMs)
        : tablet.tally({ checkpoint, bib, ...asFeet(seenFeet(random, truth.feet, near, 0.02)) }, atMs);
      if (bib !== null) sightingOf.set(bib, at);
    });
    return sightingOf;
  };
  const a1 = look(tablets.a1, EARLY, 'left', 2100);
  const a2 = look(tablets.a2, EARLY, 'right', 2400);
  const b1 = look(tablets.b1, LATE, 'left', 2000);

  const chosen = choosePlants(random, { field, bibs, a1, a2, b1 });
  const { a1: one, a2: two, b1: three } = tablets;
  one.change(a1.get(chosen.misread.right)!, { bib: chosen.misread.written });
  three.change(b1.get(chosen.swapped.right)!, { bib: chosen.swapped.written });
  one.change(a1.get(chosen.dispute)!, { left: 'rearfoot', right: 'rearfoot' });
  two.change(a2.get(chosen.dispute)!, { left: 'midfoot', right: 'midfoot' });
  const again = three.repeat(b1.get(chosen.double)!, 4000);

  // At the desk, in slow motion: every runner of whom the two tell different things, save one, and some of the others.
  for (const runner of shuffled(random, field)) {
    const i = a1.get(runner.bib);
    const j = a2.get(runner.bib);
    if (i === undefined || runner.bib === chosen.dispute || runner.bib === chosen.misread.right) continue;
    const differ = j !== undefined && !feetEqual(one.at(i), two.at(j));
    if (!differ && random() > 0.16) continue;
    const truth = truths.get(runner.bib)!.get(EARLY)!;
    if (truth.walks) continue;
    const feet = asFeet(seenFeet(random, truth.feet, 'left', 0.003));
    const seen = feet.left === 'unseen' || feet.right === 'unseen' ? asFeet(truth.feet) : feet;
    tablets.desk.review({ checkpoint: EARLY, bib: runner.bib, ...seen }, Date.parse(one.at(i).observedAt));
  }

  const made = Object.values(tablets).map((tablet) => tablet.records());
  const [oneIds, twoIds, threeIds] = made.map((records) => records.map((record) => record.id));
  return {
    race: DEMO_RACE,
    startList: field.map((runner) => runner.entry),
    results: field.map((runner) => runner.result),
    records: made.flat().sort((a, b) => compareCodePoints(a.id, b.id)),
    plants: {
      misread: { ...chosen.misread, record: oneIds![a1.get(chosen.misread.right)!]! },
      swapped: { ...chosen.swapped, record: threeIds![b1.get(chosen.swapped.right)!]! },
      dispute: {
        checkpoint: EARLY,
        bib: chosen.dispute,
        records: [oneIds![a1.get(chosen.dispute)!]!, twoIds![a2.get(chosen.dispute)!]!],
      },
      clock: { device: two.device, observer: 'A2', aheadMs: CLOCK_AHEAD_MS },
      double: {
        checkpoint: LATE,
        bib: chosen.double,
        records: [threeIds![b1.get(chosen.double)!]!, threeIds![again]!],
      },
    },
  };
}

const asFeet = ([left, right]: Feet) => ({ left, right });

interface Seen {
  field: readonly DemoRunner[];
  bibs: ReadonlySet<string>;
  a1: ReadonlyMap<string, number>;
  a2: ReadonlyMap<string, number>;
  b1: ReadonlyMap<string, number>;
}

/** Chooses whom to put wrong: finishers whose other sightings make the mistake visible, a different one for each. */
function choosePlants(random: Random, { field, bibs, a1, a2, b1 }: Seen) {
  const candidates = shuffled(
    random,
    field.filter((runner) => runner.result.finish !== undefined).map((runner) => runner.bib),
  );
  const taken = new Set<string>();
  const choose = <Choice>(fits: (bib: string) => Choice | null): Choice => {
    for (const bib of candidates) {
      const choice = taken.has(bib) ? null : fits(bib);
      if (choice === null) continue;
      taken.add(bib);
      return choice;
    }
    throw new Error('the demo field has nobody for a planted doubt');
  };
  const unlisted = (written: string) => written[0] !== '0' && !bibs.has(written);
  return {
    misread: choose((right) => {
      if (!a1.has(right) || a2.has(right) || !b1.has(right)) return null;
      const written = right.slice(0, 3) + (lookAlikes(right[3]!, 'alike')[0] ?? '');
      return written.length === 4 && unlisted(written) ? { right, written } : null;
    }),
    swapped: choose((right) => {
      if (!b1.has(right) || !a1.has(right)) return null;
      const written = right[0]! + right[2]! + right[1]! + right[3]!;
      return written !== right && unlisted(written) ? { right, written } : null;
    }),
    dispute: choose((bib) => (a1.has(bib) && a2.has(bib) && b1.has(bib) ? bib : null)),
    double: choose((bib) => (b1.has(bib) && a1.has(bib) ? bib : null)),
  };
}
