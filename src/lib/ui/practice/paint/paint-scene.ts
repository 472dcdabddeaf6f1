import { FOOT } from '../../../practice/foot-on-road.ts';
import type { LandingScene, PassingBy } from '../../../practice/landing-scene.ts';
import { runnerFigure } from '../../../practice/runner-figure.ts';
import { paintLeg, paintTrunk, type Placed } from './paint-runner.ts';
import type { SceneTones } from './runner-tones.ts';
import { DEPTH, PIXELS_PER_METRE, roadAt, toPixels, type SceneView } from './scene-view.ts';

type Pen = CanvasRenderingContext2D;

/** The road's edge is this far from the canvas's lower end, pixels: the caret stands there. */
const BELOW_ROAD = 46;
/** The middle of the foot ahead of its ankle, metres. */
const FOOT_MIDDLE = FOOT.length / 2 - FOOT.ankleAhead;
/** How much smaller things are at the far side of the road. */
const FAR_SIDE = 0.68;
const POST_HEIGHT = 0.3;
/** What hides less than this, metres, is not worth a post. */
const LEAST_HIDDEN = 0.005;

/** The view of a landing: the marked foot comes down in the middle. */
export function landingView(width: number, height: number, way: 'right' | 'left'): SceneView {
  return {
    width,
    height,
    middle: FOOT_MIDDLE,
    road: height - BELOW_ROAD,
    way: way === 'right' ? 1 : -1,
    scale: PIXELS_PER_METRE,
  };
}

/** Paints the road. Where the marked foot comes down a crisp edge shows the gap under a heel or toes. */
export function paintRoad(pen: Pen, view: SceneView, tones: SceneTones, depth: number): void {
  const { width, height } = view;
  pen.fillStyle = tones.sky;
  pen.fillRect(0, 0, width, height);
  const top = roadAt(view, FAR_SIDE);
  const edge = roadAt(view, depth);
  pen.fillStyle = tones.verge;
  pen.fillRect(0, top, width, edge - top);
  pen.fillStyle = tones.road;
  pen.fillRect(0, edge, width, height - edge);
  pen.fillStyle = tones.edge;
  pen.fillRect(0, edge, width, 2);
}

/** Paints one instant of a landing, `t` milliseconds from contact; without `t`, the road before the runner comes. */
export function paintLanding(
  pen: Pen,
  scene: LandingScene,
  view: SceneView,
  tones: SceneTones,
  t: number | null,
): void {
  paintRoad(pen, view, tones, DEPTH[scene.landing.foot]);
  if (t !== null) paintRunners(pen, scene, view, tones, t);
  paintPost(pen, scene, view, tones);
  paintMark(pen, scene, view, tones);
}

function paintRunners(pen: Pen, scene: LandingScene, view: SceneView, tones: SceneTones, t: number): void {
  for (const other of scene.others) if (!other.before) paintPassingBy(pen, other, view, tones, t);
  const figure = runnerFigure(scene.body, t);
  const nearMarked = scene.landing.foot === 'near';
  const far: Placed = { view, depth: DEPTH.far, ahead: 0 };
  const near: Placed = { view, depth: DEPTH.near, ahead: 0 };
  paintLeg(pen, nearMarked ? figure.other : figure.marked, figure.hip, tones.far, far);
  paintLeg(pen, nearMarked ? figure.marked : figure.other, figure.hip, tones.near, near);
  paintTrunk(pen, figure, tones.shorts, near);
  for (const other of scene.others) if (other.before) paintPassingBy(pen, other, view, tones, t);
}

function paintPassingBy(pen: Pen, other: PassingBy, view: SceneView, tones: SceneTones, t: number): void {
  const { body, before, offset } = other;
  const depth = before ? DEPTH.before : DEPTH.behind;
  const tone = before ? tones.before : tones.behind;
  // Their own clock sets the pose; where they are follows from how far ahead they are at the marked contact.
  const ahead = other.ahead - (body.motion.speed * offset) / 1000;
  const figure = runnerFigure(body, t + offset);
  const at = { view, depth, ahead };
  paintLeg(pen, figure.other, figure.hip, tone, { ...at, depth: depth * DEPTH.far });
  paintLeg(pen, figure.marked, figure.hip, tone, at);
  paintTrunk(pen, figure, tone.limb, at);
}

/** What stands before the foot and hides a part of it. */
function paintPost(pen: Pen, { landing }: LandingScene, view: SceneView, tones: SceneTones): void {
  const hidden = landing.occlusion * FOOT.length;
  if (hidden < LEAST_HIDDEN) return;
  const depth = DEPTH[landing.foot];
  const x = landing.occlusionAt * FOOT.length - FOOT.ankleAhead;
  const from = toPixels(view, { x: x - hidden / 2, y: POST_HEIGHT }, depth);
  const to = toPixels(view, { x: x + hidden / 2, y: POST_HEIGHT }, depth);
  const left = Math.min(from.x, to.x);
  const width = Math.abs(to.x - from.x);
  pen.fillStyle = tones.post;
  pen.beginPath();
  pen.roundRect(left, from.y, width, view.road + 14 - from.y, Math.min(4, width / 2));
  pen.fill();
  pen.fillStyle = tones.sky;
  pen.fillRect(left, from.y + 16, width, 7);
}

/** A caret below the road where the foot comes down: filled for the near foot, open for the far one. */
function paintMark(pen: Pen, { landing }: LandingScene, view: SceneView, tones: SceneTones): void {
  const x = view.width / 2;
  const y = view.road + 20;
  pen.beginPath();
  pen.moveTo(x, y);
  pen.lineTo(x + 11, y + 19);
  pen.lineTo(x - 11, y + 19);
  pen.closePath();
  pen.lineWidth = 3;
  pen.lineJoin = 'round';
  pen.strokeStyle = tones.mark;
  pen.fillStyle = landing.foot === 'near' ? tones.mark : tones.road;
  pen.fill();
  pen.stroke();
}
