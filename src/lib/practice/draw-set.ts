import { FOOT_CLASSES, type FootClass } from '../records/foot.ts';
import { seededRandom, type Random } from '../records/seeded-random.ts';
import { normalLowerTail, normalQuantile } from '../stats/distributions.ts';
import type { FootSide, Landing } from './landing.ts';
import { ANGLES, LEVELS, type LevelNumber, type Mix } from './practice-levels.ts';

export interface SetSpec {
  /** Any whole number; the same seed gives the same set everywhere. */
  readonly seed: number;
  /** How many landings, at least 1. */
  readonly items: number;
  readonly level: LevelNumber;
  readonly mix: Mix;
}

/**
 * Draws a set of landings whose class is known because it was put in. All chance comes from the seed: first the order of
 * classes and feet, then ten numbers for each landing, whatever they are used for. Speed, contact, shank and cadence do
 * not depend on the class: nothing but the landing may tell it.
 */
export function drawSet({ seed, items, level, mix }: SetSpec): Landing[] {
  const random = seededRandom(seed);
  return shuffledDeck(items, mix, random).map((card, i) => drawLanding(i + 1, card, level, random));
}

interface Card {
  readonly class: FootClass;
  readonly foot: FootSide;
}

/** Exact shares rounded down, what is left to the greatest remainders; of equal ones the earlier class. */
export function quotas(items: number, mix: Mix): number[] {
  const whole = mix.reduce((sum, weight) => sum + weight, 0);
  const exact = mix.map((weight) => (items * weight) / whole);
  // A share that is whole but for rounding is whole.
  const given = exact.map((share) => Math.floor(share + 1e-9));
  const rest = exact.map((share, i) => Math.round((share - given[i]!) * 1e9));
  const left = items - given.reduce((sum, n) => sum + n, 0);
  const byRest = [0, 1, 2].sort((a, b) => rest[b]! - rest[a]! || a - b);
  for (const place of byRest.slice(0, left)) given[place]! += 1;
  return given;
}

function shuffledDeck(items: number, mix: Mix, random: Random): Card[] {
  const counts = quotas(items, mix);
  const deck = FOOT_CLASSES.flatMap((name, c) =>
    Array.from({ length: counts[c]! }, (_, k): Card => ({ class: name, foot: k % 2 === 0 ? 'near' : 'far' })),
  );
  for (let i = items - 1; i >= 1; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [deck[i], deck[j]] = [deck[j]!, deck[i]!];
  }
  return deck;
}

function drawLanding(number: number, card: Card, level: LevelNumber, random: Random): Landing {
  const { margin, rate, occlusion, clutter } = LEVELS[level];
  const u = Array.from({ length: 10 }, () => random());
  const speed = 2.5 + 2.5 * u[1]!;
  return {
    item: `d${String(number).padStart(3, '0')}`,
    ...card,
    direction: u[5]! < 0.5 ? 'right' : 'left',
    rate,
    level,
    angle: drawLandingAngle(card.class, margin, u[0]!),
    speed,
    contactMs: (400 - 40 * speed) * (0.95 + 0.1 * u[2]!),
    shank: 5 + 8 * (u[3]! - 0.5),
    cadence: 160 + 10 * (speed - 2.5) + 10 * (u[4]! - 0.5),
    occlusion: occlusion * u[6]!,
    occlusionAt: u[7]!,
    clutter: Math.floor(u[8]! * (clutter + 1)),
    clutterSeed: Math.floor(u[9]! * 2 ** 32),
  };
}

/** Truncated normal by its inverse; the margin keeps it off the cut-offs, not off the ends of the scale. */
export function drawLandingAngle(name: FootClass, margin: number, u: number): number {
  const { mean, sd, low, high } = ANGLES[name];
  const least = name === 'forefoot' ? low : low + margin;
  const most = name === 'rearfoot' ? high : high - margin;
  const from = normalLowerTail((least - mean) / sd);
  const to = normalLowerTail((most - mean) / sd);
  return mean + sd * normalQuantile(from + u * (to - from));
}
