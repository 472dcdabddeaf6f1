import { describe, expect, it } from 'vitest';
import { FOOT_CLASSES } from '../records/foot.ts';
import { drawSet } from './draw-set.ts';
import { ankleHeight, rolledAnkle, SOLE_EDGES, turned } from './foot-on-road.ts';
import { landingPose } from './landing-pose.ts';
import type { Landing } from './landing.ts';
import { landingScene } from './landing-scene.ts';
import { runnerBody, runnerFigure } from './runner-figure.ts';

const landings = drawSet({ seed: 20_311, items: 3000, level: 4, mix: [1, 1, 1] });
const truth = landings.map((landing) => FOOT_CLASSES.indexOf(landing.class));

/** Share of the second half that a classifier of 31 nearest neighbours, taught on the first half, gets right. */
function nearestNeighbours(features: readonly (readonly number[])[]): number {
  const half = features.length / 2;
  const scale = features[0]!.map((_, f) => {
    const mean = features.reduce((sum, row) => sum + row[f]!, 0) / features.length;
    return Math.sqrt(features.reduce((sum, row) => sum + (row[f]! - mean) ** 2, 0) / features.length) || 1;
  });
  const flat = features.map((row) => row.map((value, f) => value / scale[f]!));
  let right = 0;
  for (let i = half; i < flat.length; i += 1) {
    const nearest = flat
      .slice(0, half)
      .map((row, k) => [row.reduce((sum, value, f) => sum + (value - flat[i]![f]!) ** 2, 0), k] as const)
      .sort((a, b) => a[0] - b[0])
      .slice(0, 31);
    const votes = [0, 0, 0];
    for (const [, k] of nearest) votes[truth[k]!]! += 1;
    if (votes.indexOf(Math.max(...votes)) === truth[i]) right += 1;
  }
  return right / half;
}

/** The same with a normal distribution for each feature and class: better where single features tell. */
function naiveBayes(features: readonly (readonly number[])[], classOf = (i: number): number => truth[i]!): number {
  const half = features.length / 2;
  const models = FOOT_CLASSES.map((_, c) => {
    const rows = features.slice(0, half).filter((_, i) => classOf(i) === c);
    return rows[0]!.map((_, f) => {
      const mean = rows.reduce((sum, row) => sum + row[f]!, 0) / rows.length;
      const variance = rows.reduce((sum, row) => sum + (row[f]! - mean) ** 2, 0) / rows.length + 1e-12;
      return { mean, variance };
    });
  });
  const right = features.slice(half).filter((row, i) => {
    const scores = models.map((model) =>
      model.reduce((sum, { mean, variance }, f) => sum - Math.log(variance) - (row[f]! - mean) ** 2 / variance, 0),
    );
    return scores.indexOf(Math.max(...scores)) === classOf(half + i);
  });
  return right.length / half;
}

/** Everything of a drawn item but the foot: the joints above the ankle, before and at contact, and all else drawn. */
function allButTheFoot(landing: Landing): number[] {
  const body = runnerBody(landing);
  const figures = [-120, -80, -40, 0].map((t) => runnerFigure(body, t));
  const { speed, contactMs, shank, cadence, occlusion, occlusionAt, clutter } = landing;
  const { others } = landingScene(landing);
  return [
    ...figures.flatMap(({ hip, marked, other }) => [hip.y, marked.knee.x, marked.knee.y, other.knee.x, other.knee.y]),
    ...[40, 120, 200].map((t) => runnerFigure(body, t).hip.y),
    ...[body.thigh, body.shank, speed, contactMs, shank, cadence, occlusion, occlusionAt, clutter],
    landing.clutterSeed,
    landing.foot === 'near' ? 1 : 0,
    landing.direction === 'left' ? 1 : 0,
    ...[0, 1, 2].flatMap((i) => [others[i]?.body.motion.angle ?? 99, others[i]?.ahead ?? 9]),
  ];
}

/** Sets that tell the class by something else than the foot, each a slip that a drawing might make. */
const TELLS: Record<string, (landing: Landing) => Landing> = {
  'a shank that follows the angle by a half': (one) => ({ ...one, shank: one.shank + 0.5 * one.angle }),
  'fast runners who land on the rearfoot less often': (one) => ({ ...one, speed: one.speed - 0.04 * one.angle }),
  'a contact that is longer on the heel': (one) => ({ ...one, contactMs: one.contactMs + 4 * one.angle }),
  'a hiding post that spares the forefoot': (one) => ({
    ...one,
    occlusion: one.class === 'forefoot' ? 0 : one.occlusion,
  }),
  'one class that always goes left': (one) => ({
    ...one,
    direction: one.class === 'midfoot' ? 'left' : one.direction,
  }),
};

/** Chance is 1/3; its standard error over the 1,500 that are classed is 0.012. */
const CHANCE = 0.37;

describe('what the drawing tells beside the landing', () => {
  it('leaves a classifier on everything but the foot at chance', () => {
    const features = landings.map(allButTheFoot);
    expect(nearestNeighbours(features)).toBeLessThan(CHANCE);
    expect(naiveBayes(features)).toBeLessThan(CHANCE);
  });

  it.each(Object.entries(TELLS))('would find %s', (_, tell) => {
    expect(naiveBayes(landings.map((landing) => allButTheFoot(tell(landing))))).toBeGreaterThan(CHANCE);
  });

  it('would find the order of a set that was not shuffled, and does not find ours', () => {
    const row = (classes: readonly number[]) =>
      classes.map((_, i) => [i % 3, classes[i - 1] ?? -1, classes[i - 2] ?? -1]);
    expect(naiveBayes(row(truth))).toBeLessThan(CHANCE);
    expect(naiveBayes(row(truth.map((_, i) => i % 3)), (i) => i % 3)).toBeGreaterThan(0.9);
  });

  it('leaves hip height at contact at chance, which sticks of one length would not', () => {
    const hip = (landing: Landing) => runnerFigure(runnerBody(landing), 0).hip.y;
    expect(naiveBayes(landings.map((landing) => [hip(landing)]))).toBeLessThan(0.38);
    // The test can find a tell: sticks of one length would carry the hip as much higher as the ankle.
    const rise = landings.map((landing) => [ankleHeight(landing.angle) + 0.001 * landing.shank]);
    expect(naiveBayes(rise)).toBeGreaterThan(0.5);
    expect(naiveBayes(landings.map(({ angle }) => [angle]))).toBeGreaterThan(0.9);
  });

  it('moves hip and knees alike whatever the angle', () => {
    for (const landing of landings.slice(0, 100)) {
      const body = runnerBody(landing);
      const twin = runnerBody({ ...landing, angle: 4 });
      for (let t = -300; t <= 300; t += 10) {
        const [a, b] = [runnerFigure(body, t), runnerFigure(twin, t)];
        expect(a.hip).toEqual(b.hip);
        expect([a.marked.knee, a.other.knee]).toEqual([b.marked.knee, b.other.knee]);
      }
    }
  });
});

describe('runnerFigure', () => {
  it('stands on the road while the foot is on it, and never in it', () => {
    for (const landing of landings.slice(0, 200)) {
      const body = runnerBody(landing);
      for (let t = -400; t <= 400; t += 7) {
        const { marked } = runnerFigure(body, t);
        const lowest = Math.min(...SOLE_EDGES.map((edge) => marked.ankle.y + turned(edge, marked.sole).y));
        if (t >= 0 && t <= landing.contactMs) expect(lowest).toBeCloseTo(0, 9);
        else expect(lowest).toBeGreaterThan(-1e-9);
      }
    }
  });

  it('has the hip 0.29 m behind the ankle at contact and the angles of the contract', () => {
    for (const landing of landings.slice(0, 50)) {
      const { hip, marked } = runnerFigure(runnerBody(landing), 0);
      expect(marked.ankle.x - hip.x).toBeCloseTo(0.29, 12);
      expect(marked.sole).toBe(landing.angle);
      expect(landingPose(landing, 0).shank).toBe(landing.shank);
    }
  });

  it('moves without a jump', () => {
    const STEP_MS = 4;
    for (const landing of landings.slice(0, 50)) {
      const body = runnerBody(landing);
      let before = runnerFigure(body, -800);
      for (let t = -800 + STEP_MS; t <= 800; t += STEP_MS) {
        const now = runnerFigure(body, t);
        for (const leg of ['marked', 'other'] as const) {
          for (const joint of ['knee', 'ankle'] as const) {
            const [a, b] = [before[leg][joint], now[leg][joint]];
            const metresASecond = (1000 * Math.hypot(b.x - a.x, b.y - a.y)) / STEP_MS;
            // No joint of a runner at 5 m/s is faster than some three times that.
            expect(metresASecond).toBeLessThan(15);
          }
        }
        before = now;
      }
    }
  });
});

describe('rolledAnkle', () => {
  it('rolls without slipping: by hand, from the heel over the rear bevel to flat', () => {
    // Rear third 0.09 m, bevel 7.4°. The heel's edge rises by 0.09·tan 7.4°; at 15° the foot stands on it.
    const rise = 0.09 * Math.tan((7.4 * Math.PI) / 180);
    const height = 0.065 * Math.sin((15 * Math.PI) / 180) + (0.085 - rise) * Math.cos((15 * Math.PI) / 180);
    expect(ankleHeight(15)).toBeCloseTo(height, 12);
    expect(ankleHeight(0)).toBeCloseTo(0.085, 12);
    // Between the cut-offs the edge of the middle third carries the foot, 0.025 m ahead of the ankle.
    const middle = 0.085 * Math.cos((4 * Math.PI) / 180) - 0.025 * Math.sin((4 * Math.PI) / 180);
    expect(ankleHeight(4)).toBeCloseTo(middle, 12);
    expect(rolledAnkle(15, 15)).toEqual({ x: 0, y: ankleHeight(15) });
    expect(rolledAnkle(0, 15).x).toBeGreaterThan(0.015);
    expect(rolledAnkle(0, -6).x).toBeLessThan(0);
  });
});
