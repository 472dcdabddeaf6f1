import { seededRandom } from '../records/seeded-random.ts';
import { ankleHeight, FOOT, rolledAnkle, type Point } from './foot-on-road.ts';
import { between, landingPose, mixed, stepMs, strideMs, type LegMotion } from './landing-pose.ts';
import type { Landing } from './landing.ts';

/** Metres; people differ. */
const LIMB = 0.43;
/** How much of {@link LIMB} both limbs of a runner share, and how much each has of its own. */
const BUILD_SPREAD = 0.24;
const LIMB_SPREAD = 0.12;
/** The hip behind the ankle at contact, metres, whatever the class. */
const HIP_BEHIND = 0.29;
/** How much slower than the hip the ankle moves before contact, metres a second. */
const REACHING_BACK = 1.5;
const APPROACH_MS = 80;
const THIGH_SWING_MS = 260;
/** In the swing no part of the sole is nearer the road than this, metres, once this long off it. */
const CLEARANCE = 0.02;
const CLEARING_MS = 60;
/** A limb never lies flatter than this share of its length: the rest is where the knee would lock. */
const REACH = 0.985;

export interface Leg {
  readonly knee: Point;
  readonly ankle: Point;
  /** Degrees, toes up positive. */
  readonly sole: number;
}

/** Where a runner's joints are at one instant. */
export interface RunnerFigure {
  readonly hip: Point;
  readonly marked: Leg;
  readonly other: Leg;
}

/** A runner with all that does not change from frame to frame. */
export interface RunnerBody {
  readonly motion: LegMotion;
  /** The same runner with a foot that lands flat: hip and knees go by it, so that they cannot tell the class. */
  readonly neutral: LegMotion;
  /** Lengths of the limbs, metres. */
  readonly thigh: number;
  readonly shank: number;
  /** Sine of the thigh against the vertical, knee ahead positive, where the swing begins and ends. */
  readonly swingFrom: number;
  readonly swingTo: number;
  /** The hip's height at toe-off and contact, metres, and how fast it changes there, metres a millisecond. */
  readonly toeOff: { readonly y: number; readonly slope: number };
  readonly contact: { readonly y: number; readonly slope: number };
}

/**
 * The body that a landing is drawn with. Limb lengths vary with `clutterSeed`, as people do.
 *
 * Sticks of a fixed length would carry the hip higher on the toes, and its height alone would tell half of the classes. So
 * hip and knees move as those of a foot that lands flat, whatever the angle; the shank, whose lower end is in the shoe,
 * gives the 2 cm or so that a forefoot landing stands higher and a rearfoot landing rolls forward.
 */
export function runnerBody(motion: LegMotion & Pick<Landing, 'clutterSeed'>): RunnerBody {
  const random = seededRandom(motion.clutterSeed);
  const build = 1 + BUILD_SPREAD * (random() - 0.5);
  const limb = (): number => LIMB * (build + LIMB_SPREAD * (random() - 0.5));
  const limbs: Limbs = { neutral: { ...motion, angle: 0 }, thigh: limb(), shank: limb() };
  const height = (t: number): number => standingHip(limbs, t).y;
  const { contactMs } = motion;
  return {
    ...limbs,
    motion,
    swingFrom: thighSine(limbs, contactMs, rolledAnkle(landingPose(limbs.neutral, contactMs).sole, 0).x),
    swingTo: thighSine(limbs, -APPROACH_MS, approachingAnkleX(limbs, -APPROACH_MS)),
    toeOff: { y: height(contactMs), slope: height(contactMs) - height(contactMs - 1) },
    contact: { y: height(0), slope: height(1) - height(0) },
  };
}

type Limbs = Pick<RunnerBody, 'neutral' | 'thigh' | 'shank'>;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** The hip along the road, seen from where the marked ankle is at contact. */
const hipX = ({ neutral }: Limbs, t: number): number => -HIP_BEHIND + (neutral.speed * t) / 1000;

const approachingAnkleX = ({ neutral }: Limbs, t: number): number => ((neutral.speed - REACHING_BACK) * t) / 1000;

/** Sine of the thigh's angle that brings the knee over an ankle. */
function thighSine(limbs: Limbs, t: number, ankleX: number): number {
  const { shank } = landingPose(limbs.neutral, t);
  const kneeX = ankleX - limbs.shank * Math.sin(radians(shank));
  return Math.max(-REACH, Math.min(REACH, (kneeX - hipX(limbs, t)) / limbs.thigh));
}

const upright = (sine: number): number => Math.sqrt(1 - sine * sine);

/** The hip over a foot on the road: as high as the thigh reaches. */
function standingHip(limbs: Limbs, t: number): Point {
  const { sole, shank } = landingPose(limbs.neutral, t);
  const ankle = rolledAnkle(sole, 0);
  const kneeY = ankle.y + limbs.shank * Math.cos(radians(shank));
  return { x: hipX(limbs, t), y: kneeY + limbs.thigh * upright(thighSine(limbs, t, ankle.x)) };
}

/** The hip's height at any time: over the standing foot, between two of them a smooth curve. */
function hipHeight(body: RunnerBody, t: number): number {
  const { contactMs } = body.motion;
  const step = stepMs(body.motion);
  const at = ((t % step) + step) % step;
  if (at <= contactMs) return standingHip(body, at).y;
  const span = step - contactMs;
  return hermite(body.toeOff, body.contact, span, (at - contactMs) / span);
}

/** The cubic between two heights with given slopes, at share `u` of the way. */
function hermite(from: RunnerBody['toeOff'], to: RunnerBody['toeOff'], span: number, u: number): number {
  const v = 1 - u;
  return v * v * (1 + 2 * u) * from.y + u * u * (1 + 2 * v) * to.y + u * v * span * (v * from.slope - u * to.slope);
}

/** Both legs and the hip, `t` milliseconds from the marked foot's contact; x from that ankle at contact, y from the road. */
export function runnerFigure(body: RunnerBody, t: number): RunnerFigure {
  const hip = { x: hipX(body, t), y: hipHeight(body, t) };
  return { hip, marked: legAt(body, t, hip), other: legAt(body, t - stepMs(body.motion), hip) };
}

/** One leg, `t` milliseconds from a contact of its own, under the hip. */
function legAt(body: RunnerBody, t: number, hip: Point): Leg {
  const stride = strideMs(body.motion);
  const own = t - stride * Math.floor((t + APPROACH_MS) / stride);
  const { knee, ankle } = neutralLeg(body, own, hip);
  const { sole } = landingPose(body.motion, own);
  const shift = footShift(body, own);
  return {
    knee,
    ankle: { x: ankle.x + shift.x, y: Math.max(ankleHeight(sole), ankle.y + shift.y) },
    sole,
  };
}

/** The leg of a foot that lands flat. */
function neutralLeg(body: RunnerBody, own: number, hip: Point): Leg {
  const { contactMs } = body.neutral;
  const { sole, shank } = landingPose(body.neutral, own);
  if (own >= 0 && own <= contactMs) {
    const rolled = rolledAnkle(sole, 0);
    const ankle = { x: hip.x - hipX(body, own) + rolled.x, y: rolled.y };
    return { knee: kneeOver(body, ankle, shank), ankle, sole };
  }
  const sine = own < 0 ? thighSine(body, own, approachingAnkleX(body, own)) : swingSine(body, own);
  const knee = { x: hip.x + body.thigh * sine, y: hip.y - body.thigh * upright(sine) };
  const ankle = {
    x: knee.x + body.shank * Math.sin(radians(shank)),
    y: knee.y - body.shank * Math.cos(radians(shank)),
  };
  return own < 0 ? { knee, ankle, sole } : lifted({ knee, ankle, sole }, hip, body, own);
}

/** Where the ankle of the foot as it lands is, seen from that of a foot that lands flat. */
function footShift({ motion, neutral }: RunnerBody, own: number): Point {
  const { angle, contactMs } = motion;
  const atContact = { x: 0, y: ankleHeight(angle) - FOOT.ankleUp };
  if (own < 0) return atContact;
  const flat = rolledAnkle(0, angle).x;
  if (own <= contactMs) {
    const foot = rolledAnkle(landingPose(motion, own).sole, angle);
    const level = rolledAnkle(landingPose(neutral, own).sole, 0);
    return { x: foot.x - level.x, y: foot.y - level.y };
  }
  const share = between(own, contactMs, strideMs(motion) - APPROACH_MS);
  const eased = (1 - Math.cos(Math.PI * share)) / 2;
  return { x: mixed(flat, 0, eased), y: mixed(0, atContact.y, eased) };
}

const kneeOver = ({ shank: length }: Limbs, ankle: Point, shank: number): Point => ({
  x: ankle.x - length * Math.sin(radians(shank)),
  y: ankle.y + length * Math.cos(radians(shank)),
});

/** The thigh swings forward by half a cosine and waits there. */
function swingSine({ motion, swingFrom, swingTo }: RunnerBody, own: number): number {
  const share = Math.min(1, (own - motion.contactMs) / THIGH_SWING_MS);
  const angle = mixed(Math.asin(swingFrom), Math.asin(swingTo), (1 - Math.cos(Math.PI * share)) / 2);
  return Math.sin(angle);
}

/** Keeps a foot in the air off the road: the knee bends for it. */
function lifted(leg: Leg, hip: Point, body: RunnerBody, own: number): Leg {
  const clearance = CLEARANCE * Math.min(1, (own - body.motion.contactMs) / CLEARING_MS);
  const least = ankleHeight(leg.sole) + clearance;
  if (leg.ankle.y >= least) return leg;
  const ankle = { x: leg.ankle.x, y: least };
  return { ...leg, ankle, knee: bentKnee(hip, ankle, body) };
}

/** The knee, ahead of the line from hip to ankle, by the lengths of both limbs. */
function bentKnee(hip: Point, ankle: Point, { thigh, shank }: Limbs): Point {
  const dx = ankle.x - hip.x;
  const dy = ankle.y - hip.y;
  const apart = Math.min(Math.hypot(dx, dy), thigh + shank);
  const along = (thigh * thigh - shank * shank + apart * apart) / (2 * apart);
  const aside = Math.sqrt(Math.max(0, thigh * thigh - along * along));
  return { x: hip.x + (along * dx - aside * dy) / apart, y: hip.y + (along * dy + aside * dx) / apart };
}
