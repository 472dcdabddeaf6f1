import { SOLE_EDGES, turned, type Point } from '../../../practice/foot-on-road.ts';
import type { Leg, RunnerFigure } from '../../../practice/runner-figure.ts';
import type { LegTones } from './runner-tones.ts';
import { toPixels, type SceneView } from './scene-view.ts';

type Pen = CanvasRenderingContext2D;

/** Half the width of a limb along it, metres: [share of its length, in front, behind]. The calf is behind. */
const THIGH: readonly (readonly [number, number, number])[] = [
  [0, 0.078, 0.084],
  [0.45, 0.068, 0.066],
  [1, 0.05, 0.046],
];
const SHANK: readonly (readonly [number, number, number])[] = [
  [0, 0.048, 0.046],
  [0.3, 0.042, 0.06],
  [0.75, 0.03, 0.034],
  [1, 0.029, 0.031],
];

/** The shoe above its sole, metres from the ankle of a foot that stands: heel, collar, instep, toe. */
const UPPER: readonly (readonly Point[])[] = [
  [{ x: -0.066, y: -0.052 }],
  [
    { x: -0.074, y: -0.02 },
    { x: -0.052, y: 0.012 },
  ],
  [{ x: 0.03, y: 0.018 }],
  [
    { x: 0.06, y: -0.02 },
    { x: 0.135, y: -0.036 },
  ],
  [
    { x: 0.198, y: -0.046 },
    { x: 0.205, y: -0.066 },
  ],
];
/** The upper edge of the sole, from toe to heel. */
const SOLE_TOP: readonly Point[] = [
  { x: 0.207, y: -0.064 },
  { x: 0.115, y: -0.058 },
  { x: 0.025, y: -0.056 },
  { x: -0.07, y: -0.05 },
];

/** Where a runner is painted: at which depth and how far along the road. */
export interface Placed {
  readonly view: SceneView;
  readonly depth: number;
  /** Metres added along the road. */
  readonly ahead: number;
}

/** Paints one leg: thigh, shank, shoe, and the sole that shows how it lands. */
export function paintLeg(pen: Pen, leg: Leg, hip: Point, tones: LegTones, at: Placed): void {
  pen.fillStyle = tones.limb;
  limb(pen, hip, leg.knee, THIGH, at);
  limb(pen, leg.knee, leg.ankle, SHANK, at);
  shoe(pen, leg, tones, at);
}

/** Paints hips and shorts: they hide where the legs meet. */
export function paintTrunk(pen: Pen, { hip }: RunnerFigure, tone: string, at: Placed): void {
  pen.fillStyle = tone;
  const { x, y } = hip;
  pen.beginPath();
  curve(pen, at, { x: x - 0.1, y: y + 0.5 }, true);
  curve(pen, at, { x: x - 0.115, y: y + 0.16 });
  bend(pen, at, { x: x - 0.15, y: y + 0.02 }, { x: x - 0.1, y: y - 0.1 });
  bend(pen, at, { x: x + 0.01, y: y - 0.15 }, { x: x + 0.115, y: y - 0.08 });
  bend(pen, at, { x: x + 0.13, y: y + 0.06 }, { x: x + 0.1, y: y + 0.16 });
  curve(pen, at, { x: x + 0.14, y: y + 0.5 });
  pen.closePath();
  pen.fill();
}

const place = (at: Placed, { x, y }: Point): Point => toPixels(at.view, { x: x + at.ahead, y }, at.depth);

function curve(pen: Pen, at: Placed, point: Point, first = false): void {
  const { x, y } = place(at, point);
  if (first) pen.moveTo(x, y);
  else pen.lineTo(x, y);
}

function bend(pen: Pen, at: Placed, by: Point, to: Point): void {
  const control = place(at, by);
  const end = place(at, to);
  pen.quadraticCurveTo(control.x, control.y, end.x, end.y);
}

/** A limb as a smooth outline about its stick, round at both joints. */
function limb(pen: Pen, from: Point, to: Point, widths: typeof THIGH, at: Placed): void {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  // Forward of the limb, as it hangs.
  const front = { x: -along.y, y: along.x };
  const beside = ([share, before, behind]: readonly [number, number, number], side: 1 | -1): Point => {
    const reach = side > 0 ? before : -behind;
    return {
      x: from.x + along.x * length * share + front.x * reach,
      y: from.y + along.y * length * share + front.y * reach,
    };
  };
  const outline = [
    ...widths.map((width) => beside(width, 1)),
    ...[...widths].reverse().map((width) => beside(width, -1)),
  ];
  pen.beginPath();
  smooth(
    pen,
    outline.map((point) => place(at, point)),
  );
  pen.fill();
  for (const [joint, width] of [
    [from, widths[0]!],
    [to, widths.at(-1)!],
  ] as const) {
    const { x, y } = place(at, joint);
    pen.beginPath();
    pen.arc(x, y, ((width[1] + width[2]) / 2) * at.depth * at.view.scale, 0, 2 * Math.PI);
    pen.fill();
  }
}

/** A closed outline through the middles of its sides, rounded at its corners. */
function smooth(pen: Pen, points: readonly Point[]): void {
  const middle = (a: Point, b: Point): Point => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
  const half = points.length / 2;
  pen.moveTo(points[0]!.x, points[0]!.y);
  for (let i = 1; i < half - 1; i += 1) {
    const end = i === half - 2 ? points[half - 1]! : middle(points[i]!, points[i + 1]!);
    pen.quadraticCurveTo(points[i]!.x, points[i]!.y, end.x, end.y);
  }
  pen.lineTo(points[half]!.x, points[half]!.y);
  for (let i = half + 1; i < points.length - 1; i += 1) {
    const end = i === points.length - 2 ? points.at(-1)! : middle(points[i]!, points[i + 1]!);
    pen.quadraticCurveTo(points[i]!.x, points[i]!.y, end.x, end.y);
  }
  pen.closePath();
}

function shoe(pen: Pen, { ankle, sole }: Leg, tones: LegTones, at: Placed): void {
  const onFoot = (point: Point): Point => {
    const { x, y } = turned(point, sole);
    return { x: ankle.x + x, y: ankle.y + y };
  };
  pen.fillStyle = tones.shoe;
  pen.beginPath();
  UPPER.forEach((part, i) => {
    if (part.length === 1) curve(pen, at, onFoot(part[0]!), i === 0);
    else bend(pen, at, onFoot(part[0]!), onFoot(part[1]!));
  });
  pen.closePath();
  pen.fill();
  pen.fillStyle = tones.sole;
  pen.beginPath();
  [...SOLE_EDGES, ...SOLE_TOP].forEach((point, i) => curve(pen, at, onFoot(point), i === 0));
  pen.closePath();
  pen.fill();
}
