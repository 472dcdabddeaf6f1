import type { FootClass } from '../records/foot.ts';
import { seededRandom, type Random } from '../records/seeded-random.ts';
import { drawLandingAngle } from './draw-set.ts';
import { RACE_MIX, type Mix } from './practice-levels.ts';

/** What passes in a rehearsal. */
export interface RehearsalSpec {
  readonly seed: number;
  /** Runners a minute, on average. */
  readonly perMinute: number;
  /** Mean number of runners who pass as one, at least 1. */
  readonly pack: number;
  /** How long runners pass, seconds. */
  readonly seconds: number;
  /** The bibs that may be worn. */
  readonly bibs: readonly string[];
}

/** Where in a pack a runner is. */
export type PackPlace = 'alone' | 'first' | 'behind';

/** One runner who passes. */
export interface Passing {
  readonly bib: string;
  /** When the hip passes the observer, milliseconds from the beginning. */
  readonly atMs: number;
  readonly place: PackPlace;
  readonly left: FootClass;
  readonly right: FootClass;
  readonly leftAngle: number;
  readonly rightAngle: number;
  /** Metres a second. */
  readonly speed: number;
  readonly contactMs: number;
  readonly cadence: number;
  readonly shank: number;
  /** 0 at the far edge of the road, 1 at the near one. */
  readonly lane: number;
  readonly seed: number;
}

/** Nine runners in ten land alike on both feet (common practice, no source). */
const BOTH_ALIKE = 0.92;
/** Cut-offs are kept as at a race. */
const MARGIN = 0.3;
/** Runners of a pack follow each other by this, milliseconds. */
const PACK_GAP = { least: 120, spread: 330 } as const;
/** Nobody passes before the observer has taken in the screen, milliseconds. */
const FIRST_MS = 4000;

/**
 * A crowd that passes: packs of geometric size at random instants, so many a minute; each runner wears a bib of the list
 * once, and both feet land by the mix of road races.
 */
export function rehearsalScript(spec: RehearsalSpec, mix: Mix = RACE_MIX): Passing[] {
  const random = seededRandom(spec.seed);
  const bibs = shuffled(spec.bibs, random);
  const passings: Passing[] = [];
  const meanGapMs = (60_000 / spec.perMinute) * spec.pack;
  const end = spec.seconds * 1000;
  for (let at = FIRST_MS; ;) {
    at += -Math.log(1 - random()) * meanGapMs;
    if (at >= end) break;
    const size = packSize(spec.pack, random);
    const speed = 2.5 + 2 * random();
    for (let i = 0; i < size && bibs.length > 0; i += 1) {
      const place = size === 1 ? 'alone' : i === 0 ? 'first' : 'behind';
      const atMs = Math.round(at + i * (PACK_GAP.least + PACK_GAP.spread * random()));
      passings.push(drawPassing(bibs.pop()!, atMs, place, speed, mix, random));
    }
  }
  return passings.sort((a, b) => a.atMs - b.atMs);
}

/** Geometric from 1 with the given mean. */
function packSize(mean: number, random: Random): number {
  if (mean <= 1) return 1;
  return 1 + Math.floor(Math.log(1 - random()) / Math.log(1 - 1 / mean));
}

function drawPassing(
  bib: string,
  atMs: number,
  place: PackPlace,
  packSpeed: number,
  mix: Mix,
  random: Random,
): Passing {
  const left = drawClass(mix, random);
  const right = random() < BOTH_ALIKE ? left : drawClass([1, 1, 1], random);
  const speed = packSpeed * (0.98 + 0.04 * random());
  return {
    bib,
    atMs,
    place,
    left,
    right,
    leftAngle: drawLandingAngle(left, MARGIN, random()),
    rightAngle: drawLandingAngle(right, MARGIN, random()),
    speed,
    contactMs: (400 - 40 * speed) * (0.95 + 0.1 * random()),
    cadence: 160 + 10 * (speed - 2.5) + 10 * (random() - 0.5),
    shank: 5 + 8 * (random() - 0.5),
    lane: random(),
    seed: Math.floor(random() * 2 ** 32),
  };
}

function drawClass(mix: Mix, random: Random): FootClass {
  const at = random() * (mix[0] + mix[1] + mix[2]);
  return at < mix[0] ? 'rearfoot' : at < mix[0] + mix[1] ? 'midfoot' : 'forefoot';
}

function shuffled(bibs: readonly string[], random: Random): string[] {
  const deck = [...bibs];
  for (let i = deck.length - 1; i >= 1; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [deck[i], deck[j]] = [deck[j]!, deck[i]!];
  }
  return deck;
}
