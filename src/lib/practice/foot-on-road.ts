/** A place in the plane of the run: metres forward along the road, metres above it. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** The drawn foot, metres and degrees. Bevels: between the cut-offs of the classes the middle third touches first. */
export const FOOT = {
  length: 0.27,
  /** The ankle stands this far before the heel's end and this far above the sole. */
  ankleAhead: 0.065,
  ankleUp: 0.085,
  rearBevel: 7.4,
  frontBevel: 0.8,
} as const;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

const THIRD = FOOT.length / 3;
const FROM_HEEL: readonly Point[] = [
  { x: 0, y: THIRD * Math.tan(radians(FOOT.rearBevel)) },
  { x: THIRD, y: 0 },
  { x: 2 * THIRD, y: 0 },
  { x: FOOT.length, y: THIRD * Math.tan(radians(FOOT.frontBevel)) },
];

/** The edges of the sole from heel to toe, seen from the ankle of a foot that stands. */
export const SOLE_EDGES: readonly Point[] = FROM_HEEL.map(({ x, y }) => ({
  x: x - FOOT.ankleAhead,
  y: y - FOOT.ankleUp,
}));

/** How far along the sole each edge lies, metres from the heel. */
const ALONG: readonly number[] = SOLE_EDGES.map((_, i) =>
  SOLE_EDGES.slice(1, i + 1).reduce(
    (sum, { x, y }, k) => sum + Math.hypot(x - SOLE_EDGES[k]!.x, y - SOLE_EDGES[k]!.y),
    0,
  ),
);

/** A point that is fixed to the foot, turned by the sole's angle (toes up positive), seen from the ankle. */
export function turned({ x, y }: Point, soleDegrees: number): Point {
  const cos = Math.cos(radians(soleDegrees));
  const sin = Math.sin(radians(soleDegrees));
  return { x: x * cos - y * sin, y: x * sin + y * cos };
}

/** The edge that a foot of this angle stands on, and the ankle's place over it. */
function footing(soleDegrees: number): { edge: number; ankle: Point } {
  let edge = 0;
  let lowest = turned(SOLE_EDGES[0]!, soleDegrees);
  for (let i = 1; i < SOLE_EDGES.length; i += 1) {
    const point = turned(SOLE_EDGES[i]!, soleDegrees);
    if (point.y < lowest.y) [edge, lowest] = [i, point];
  }
  return { edge, ankle: { x: -lowest.x, y: -lowest.y } };
}

/** Height of the ankle over the lowest point of a sole at this angle, metres. */
export const ankleHeight = (soleDegrees: number): number => footing(soleDegrees).ankle.y;

/** The ankle of a foot that rolls on the road without slipping, forward from where it stood at angle `from`. */
export function rolledAnkle(soleDegrees: number, from: number): Point {
  const now = footing(soleDegrees);
  const then = footing(from);
  return { x: ALONG[now.edge]! + now.ankle.x - (ALONG[then.edge]! + then.ankle.x), y: now.ankle.y };
}
