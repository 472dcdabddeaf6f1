import type { FootClass } from '../records/foot.ts';
import type { Side } from '../records/mark-words.ts';
import type { PicturePoint } from './passage.ts';

export const DEGREES = 180 / Math.PI;
/** Shoes shorter than this in the picture, tenths of a pixel from heel to toe, give no strike angle. */
export const LEAST_SHOE_TENTHS = 400;
/**
 * Variance of a difference of two points along one axis, in squared tenths of a pixel: each point is off by a standard
 * deviation of 1 pixel.
 */
const POINT_PAIR_VARIANCE = 200;

/** Degrees between which a foot is called rearfoot, midfoot, forefoot by its strike angle. */
export interface CutOffs {
  /** Above it: rearfoot. */
  readonly rearfoot: number;
  /** Below it: forefoot. */
  readonly forefoot: number;
}

export const USUAL_CUT_OFFS: CutOffs = { rearfoot: 7.4, forefoot: -0.8 };

/** An angle in degrees with the variance that points off by one pixel give it, square degrees. */
export interface MeasuredAngle {
  readonly degrees: number;
  readonly variance: number;
}

/** How the picture lies to the running line. */
export interface View {
  readonly direction: Side;
  readonly lensOffDegrees: number;
  readonly levelDegrees: number;
}

const squaredLength = (from: PicturePoint, to: PicturePoint) => (to.x - from.x) ** 2 + (to.y - from.y) ** 2;
const ahead = ({ direction }: View) => (direction === 'right' ? 1 : -1);
const shortening = ({ lensOffDegrees }: View) => Math.cos(lensOffDegrees / DEGREES);

/** Turns an angle into (−180, 180]. */
function halfTurn(degrees: number): number {
  if (degrees > 180) return degrees - 360;
  return degrees <= -180 ? degrees + 360 : degrees;
}

export interface ShoePoints {
  readonly heel: PicturePoint;
  readonly toe: PicturePoint;
}

/** Angle of a shoe to the picture's edge in degrees, toe up is positive. */
function shoeDegrees({ heel, toe }: ShoePoints, view: View): number {
  return Math.atan2(heel.y - toe.y, (ahead(view) * (toe.x - heel.x)) / shortening(view)) * DEGREES;
}

/**
 * Strike angle: how far the toe is up at contact against the same shoe flat on the ground, so that a tilted camera and the
 * shape of the shoe cancel. `null` when either shoe is shorter than 40 pixels.
 *
 * A(contact) − A(flat), A = atan2(y_heel − y_toe, s·(x_toe − x_heel)/cos lensOff), s = 1 where runners go to the right,
 * −1 to the left. Variance 2σ²(1/L² + 1/L′²), first order, σ = 1 pixel for each point, L and L′ as marked.
 */
export function strikeAngle(contact: ShoePoints, flat: ShoePoints, view: View): MeasuredAngle | null {
  const [l1, l2] = [squaredLength(contact.heel, contact.toe), squaredLength(flat.heel, flat.toe)];
  if (Math.min(l1, l2) < LEAST_SHOE_TENTHS ** 2) return null;
  return {
    degrees: halfTurn(shoeDegrees(contact, view) - shoeDegrees(flat, view)),
    variance: DEGREES ** 2 * POINT_PAIR_VARIANCE * (1 / l1 + 1 / l2),
  };
}

/**
 * Shank angle from the vertical, ankle ahead of the knee is positive: atan2(s·(x_ankle − x_knee)/cos lensOff,
 * y_ankle − y_knee) less the tilt of what is level. `null` when both points are one. Variance 2σ²/L².
 */
export function shankAngle(knee: PicturePoint, ankle: PicturePoint, view: View): MeasuredAngle | null {
  const length = squaredLength(knee, ankle);
  if (length === 0) return null;
  const across = (ahead(view) * (ankle.x - knee.x)) / shortening(view);
  return {
    degrees: Math.atan2(across, ankle.y - knee.y) * DEGREES - ahead(view) * view.levelDegrees,
    variance: (DEGREES ** 2 * POINT_PAIR_VARIANCE) / length,
  };
}

/** Where along the sole it touches first: 0 at the heel, 100 at the toe, not cut. `null` for a shoe of no length. */
export function strikeIndex({ heel, toe }: ShoePoints, touch: PicturePoint): number | null {
  const length = squaredLength(heel, toe);
  if (length === 0) return null;
  return (100 * ((touch.x - heel.x) * (toe.x - heel.x) + (touch.y - heel.y) * (toe.y - heel.y))) / length;
}

export type AngleClass = FootClass | 'uncertain';

/** The class that a strike angle alone would give; `uncertain` within one standard deviation of a cut-off. */
export function angleClass({ degrees, variance }: MeasuredAngle, cutOffs: CutOffs = USUAL_CUT_OFFS): AngleClass {
  const sd = Math.sqrt(variance);
  if (Math.abs(degrees - cutOffs.rearfoot) <= sd || Math.abs(degrees - cutOffs.forefoot) <= sd) return 'uncertain';
  if (degrees > cutOffs.rearfoot) return 'rearfoot';
  return degrees < cutOffs.forefoot ? 'forefoot' : 'midfoot';
}

/** Tilt of a line from the horizontal in degrees, positive when it rises to the right; `[x1, y1, x2, y2]`, x1 < x2. */
export function levelDegrees([x1, y1, x2, y2]: readonly [number, number, number, number]): number {
  return Math.atan2(y1 - y2, x2 - x1) * DEGREES;
}
