import type { Landing } from './landing.ts';

/** Angles of one leg at one instant, degrees. */
export interface LegAngles {
  /** Sole against the ground, toes up positive. */
  readonly sole: number;
  /** Shank against the vertical, positive with the ankle ahead of the knee. */
  readonly shank: number;
}

/** What of a landing the angles depend on. */
export type LegMotion = Pick<Landing, 'angle' | 'speed' | 'contactMs' | 'shank' | 'cadence'>;

/** From one contact of a foot to its next, milliseconds. */
export const strideMs = ({ cadence }: Pick<LegMotion, 'cadence'>): number => 120_000 / cadence;

/** From the contact of one foot to that of the other, milliseconds. */
export const stepMs = ({ cadence }: Pick<LegMotion, 'cadence'>): number => 60_000 / cadence;

/** When the sole lies flat on the ground, milliseconds after contact: sooner the nearer the angle is to 0. */
export function flatMs({ angle, contactMs }: LegMotion): number {
  return contactMs * (angle >= 0 ? Math.min(0.25, 0.08 + 0.008 * angle) : Math.min(0.3, 0.08 - 0.02 * angle));
}

/**
 * The leg at `t` milliseconds from contact, from one stride before to one after. Before −80 ms it is in the swing that
 * follows its last contact. Descent, foot flat, swing and toe-off angles are assumptions.
 */
export function landingPose(leg: LegMotion, t: number): LegAngles {
  const at = t < -80 ? t + strideMs(leg) : t;
  return { sole: soleAt(leg, at), shank: shankAt(leg, at) };
}

function soleAt(leg: LegMotion, t: number): number {
  const { angle, speed, contactMs } = leg;
  if (t < 0) return angle - (8 * t) / 80;
  const flat = flatMs(leg);
  if (t < flat) return angle * (1 - t / flat);
  const heelOff = 0.55 * contactMs;
  if (t < heelOff) return 0;
  const toeOff = -(55 + 4 * (speed - 2.5));
  if (t <= contactMs) return toeOff * ((t - heelOff) / (0.45 * contactMs)) ** 2;
  const next = strideMs(leg);
  const swung = toeOff - 20 * between(t, contactMs, contactMs + 100);
  return mixed(swung, angle + 8, between(t, next - 300, next - 120));
}

function shankAt(leg: LegMotion, t: number): number {
  const { contactMs, shank } = leg;
  if (t < 0) return shank - (10 * t) / 80;
  if (t <= contactMs) return shank - (shank + 50) * (1 - (1 - t / contactMs) ** 1.5);
  const next = strideMs(leg);
  const swung = -50 - 40 * between(t, contactMs, contactMs + 100);
  return mixed(swung, shank + 10, between(t, next - 230, next - 80));
}

/** How far `t` is from one instant to another, cut to 0–1. */
export const between = (t: number, from: number, to: number): number =>
  Math.min(1, Math.max(0, (t - from) / (to - from)));

export const mixed = (a: number, b: number, share: number): number => a + (b - a) * share;
