import { logBinomialDensity } from '../distributions.ts';
import { mcnemarCriticalCounts, type McnemarVariant } from './mcnemar-critical-counts.ts';
import { requireCount, requireNumber } from '../require-number.ts';

/** Numbers of discordant pairs less likely than this, against the likeliest, are left out. */
const NEGLIGIBLE = 1e-40;

export interface PairedChange {
  /** ψ: share of pairs that change, either way; 0 to 1. */
  readonly changed: number;
  /** Of those that change, the share that gains the property; 0 to 1. */
  readonly gainedOfChanged: number;
}

/**
 * Power of the McNemar test: how often so many pairs lead it to reject, in either direction.
 *
 * Over all outcomes, without an approximation: Σ_d Pr(Bin(pairs, ψ) = d)·Pr(rejects with d discordant pairs).
 *
 * Source: the test's own definition (`mcnemar-test.ts`); one-sided it gives the 0.839 that R. G. O'Brien (2002) prints
 * for 50 pairs.
 *
 * @param pairs whole, at least 0; without pairs, and where nothing changes, the power is 0
 * @param alpha two-sided error of the first kind
 * @throws RangeError for a number out of range
 *
 * @example
 * mcnemarPower(280, { changed: 0.11, gainedOfChanged: 0.84 }, 0.05, 'midP'); // 0.980
 */
export function mcnemarPower(
  pairs: number,
  { changed, gainedOfChanged }: PairedChange,
  alpha: number,
  variant: McnemarVariant,
): number {
  requireCount(pairs, 'pairs');
  requireNumber(changed, 'changed', 0, 1);
  if (pairs === 0 || changed === 0) return 0;
  const { from, mass } = binomialMasses(pairs, changed);
  const to = from + mass.length - 1;
  const rejects = mcnemarRejectionChances(mcnemarCriticalCounts(to, alpha, variant), gainedOfChanged);
  let power = 0;
  for (let d = from; d <= to; d += 1) power += mass[d - from]! * rejects[d]!;
  return Math.min(1, power);
}

/**
 * For d = 0, 1, … discordant pairs the chance that the McNemar test rejects.
 *
 * @param critical from `mcnemarCriticalCounts`
 * @param gainedOfChanged chance that a discordant pair is a gain, 0 to 1
 */
export function mcnemarRejectionChances(critical: Int32Array, gainedOfChanged: number): Float64Array {
  const gains = tailsFrom(critical, requireNumber(gainedOfChanged, 'gainedOfChanged', 0, 1));
  const losses = tailsFrom(critical, 1 - gainedOfChanged);
  return gains.map((tail, d) => (critical[d]! > d ? 0 : tail + losses[d]!));
}

/**
 * Pr(Bin(d, θ) ≥ critical[d]) for each d. With c kept the tail grows by θ·Pr(X = c − 1); with c raised it falls by
 * (1 − θ)·Pr(X = c), which is θ·(d − c + 1)/c·Pr(X = c − 1) and so needs no division by 1 − θ.
 */
function tailsFrom(critical: Int32Array, theta: number): Float64Array {
  const tails = new Float64Array(critical.length);
  let tail = 0;
  // Pr(X = c − 1).
  let below = 1;
  for (let d = 1; d < critical.length; d += 1) {
    const c = critical[d - 1]!;
    if (critical[d] === c) {
      tail += theta * below;
      below *= (d * (1 - theta)) / (d + 1 - c);
    } else {
      tail -= (below * theta * (d - c)) / c;
      below *= (theta * d) / c;
    }
    tails[d] = Math.max(0, tail);
  }
  return tails;
}

/** Pr(Bin(size, p) = d) from its mode outwards, p above 0. */
function binomialMasses(size: number, p: number): { from: number; mass: number[] } {
  if (p === 1) return { from: size, mass: [1] };
  const mode = Math.min(size, Math.floor((size + 1) * p));
  const top = Math.exp(logBinomialDensity(mode, size, p));
  const odds = p / (1 - p);
  const down: number[] = [];
  for (let d = mode, mass = top; d > 0 && mass > top * NEGLIGIBLE; d -= 1) {
    mass *= d / (size - d + 1) / odds;
    down.push(mass);
  }
  const up = [top];
  for (let d = mode, mass = top; d < size && mass > top * NEGLIGIBLE; d += 1) {
    mass *= ((size - d) / (d + 1)) * odds;
    up.push(mass);
  }
  return { from: mode - down.length, mass: [...down.reverse(), ...up] };
}
